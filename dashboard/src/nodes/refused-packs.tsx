/** Packs that the hub could not take: how many and why, with the latest to look at. */
import type { Refusals } from '../../../shared/api/measurements.js'
import { dateAndClock } from '../format/local-clock.js'
import { timeZone } from '../state/garden.js'
import { clockStyle } from '../state/preferences.js'

const REASON_WORDS: Readonly<Record<string, string>> = {
  'too-large': 'too large',
  'not-json': 'not readable as JSON',
  'not-cbor': 'not readable as CBOR',
  'not-senml': 'not SenML as its standard has it',
  unit: 'a unit that does not fit',
  time: 'a time that makes no sense',
  topic: 'a topic that is none of the node’s',
  'too-many-records': 'too many records in one',
}

interface RefusedPacksProps {
  readonly refusals: Refusals
  /** what kind of pack, in front of the word: 'stray ' */
  readonly kind?: string
}

export function RefusedPacks({ refusals, kind = '' }: RefusedPacksProps) {
  const { total, byReason, latest } = refusals
  if (total === 0) return null
  const reasons = Object.entries(byReason).map(([reason, n]) => `${n} × ${REASON_WORDS[reason] ?? reason}`)
  return (
    <div class="refusals">
      <p>
        <b>{total === 1 ? `One ${kind}pack was refused` : `${total} ${kind}packs were refused`}</b> since the
        hub started: {reasons.join(', ')}.
      </p>
      {latest !== null && (
        <>
          <p>
            The latest, {dateAndClock(Date.parse(latest.at), timeZone.value, clockStyle.value)}:{' '}
            {latest.message}
          </p>
          <pre>{latest.excerpt}</pre>
        </>
      )}
    </div>
  )
}
