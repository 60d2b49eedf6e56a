/** Says when the figures have stopped moving, how old they are, and that this mends itself. */
import { useEffect, useState } from 'preact/hooks'
import { line } from '../api/live.js'
import { ageInWords } from '../format/durations.js'
import { clockTime } from '../format/local-clock.js'
import { garden, timeZone, today } from '../state/garden.js'
import { clockStyle } from '../state/preferences.js'
import { nowMs } from '../state/present.js'

/** A break shorter than this (a hub restarting its line) is not worth a word, ms. */
const GRACE_MS = 2_500

export function LineNotice() {
  const { isOpen, lastOpenMs } = line.value
  const [isLasting, setLasting] = useState(false)
  const isCut = garden.value !== null && !isOpen

  useEffect(() => {
    if (!isCut) {
      setLasting(false)
      return
    }
    const timer = setTimeout(() => setLasting(true), GRACE_MS)
    return () => clearTimeout(timer)
  }, [isCut])

  const shown = today.state.value.value
  const asOfMs = lastOpenMs ?? (shown === null ? null : Date.parse(shown.now))
  const isTold = isCut && isLasting
  return (
    <div class="line-notice" role="status">
      {isTold && (
        <p>
          <b>The hub does not answer.</b>{' '}
          {asOfMs === null
            ? 'No figures have come yet.'
            : `These figures are from ${clockTime(asOfMs, timeZone.value, clockStyle.value)}, ${ageInWords(nowMs.value - asOfMs)}.`}{' '}
          The page keeps trying and will catch up by itself.
        </p>
      )}
    </div>
  )
}
