/** Hours' means sorted into local days, for the carpet of temperatures. */
import type { TemperatureCarpet } from '../../shared/api/sun.js'
import type { LocalDay } from '../../shared/local-time.js'
import type { StepColumns } from '../store/port.js'

const MINUTE_MS = 60_000

/**
 * @param days  consecutive; the first begins where the steps do
 * @param steps  of an hour each; zones move their clocks by whole hours, but for Lord Howe's half hour, where the hours of half a
 *   year are then counted from half past
 */
export function hoursByDay(days: readonly LocalDay[], steps: StepColumns): TemperatureCarpet['days'] {
  const { startMs, mean, count } = steps
  let at = 0
  return days.map((day) => {
    const meanC: (number | null)[] = []
    for (; at < startMs.length && startMs[at]! < day.endMs; at++) {
      meanC.push(count[at]! === 0 ? null : Math.round(mean[at]! * 10) / 10)
    }
    return { date: day.date, lengthMin: (day.endMs - day.startMs) / MINUTE_MS, meanC }
  })
}
