/** The ribbon as a table, for those who read better than they see. Short flickers are merged into what surrounds them. */
import { useState } from 'preact/hooks'
import type { BedSun } from '../../../shared/api/measurements.js'
import { hoursInWords } from '../format/durations.js'
import { clockTime } from '../format/local-clock.js'
import { timeZone } from '../state/garden.js'
import { clockStyle } from '../state/preferences.js'
import { STATE_WORDS } from '../sun/patterns.js'
import { ribbonBands } from '../sun/ribbon-bands.js'
import { segmentsOf } from '../sun/sun-sentence.js'

const SLOT_MS = 15 * 60_000
const wordOf = (state: string): string => STATE_WORDS.find((s) => s.state === state)?.word ?? state

/** The day in quarter hours, each with the state that fills most of it. */
function stretches(sun: BedSun): { fromMs: number; toMs: number; word: string }[] {
  const fromMs = Date.parse(sun.sunrise ?? sun.from)
  const toMs = Date.parse(sun.sunset ?? sun.to)
  const slots = Math.max(1, Math.round((toMs - fromMs) / SLOT_MS))
  const at = (slot: number): number => fromMs + ((toMs - fromMs) * slot) / slots
  return ribbonBands(segmentsOf(sun), fromMs, toMs, slots).map((band) => ({
    fromMs: at(band.x0),
    toMs: at(band.x1),
    word: wordOf(band.state),
  }))
}

export function RibbonTable({ sun, bedName }: { readonly sun: BedSun; readonly bedName: string }) {
  const [isOpen, setOpen] = useState(false)
  const clock = (ms: number): string => clockTime(ms, timeZone.value, clockStyle.value)
  return (
    <details onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        The ribbon in words<span class="unseen"> ({bedName})</span>
      </summary>
      {isOpen && (
        <table>
          <thead>
            <tr>
              <th scope="col">from</th>
              <th scope="col">to</th>
              <th scope="col">mostly</th>
              <th scope="col">for</th>
            </tr>
          </thead>
          <tbody>
            {stretches(sun).map((s) => (
              <tr key={s.fromMs}>
                <td>{clock(s.fromMs)}</td>
                <td>{clock(s.toMs)}</td>
                <td>{s.word}</td>
                <td>{hoursInWords((s.toMs - s.fromMs) / 3_600_000)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </details>
  )
}
