/** A bed's day as the forecast takes it in: only complete days count. */
import type { LocalDay } from '../../../shared/local-time.js'
import { dayTemperatures } from '../days/day-temperatures.js'
import { COMPLETE_COVERAGE } from '../quality/completeness.js'
import type { ReadingColumns } from '../readings.js'
import type { MeasuredDay } from './local-learning.js'

const EVENING_MS = 3 * 3_600_000

/** The last three hours of a day. */
export const eveningOf = (day: LocalDay): LocalDay => ({ ...day, startMs: day.endMs - EVENING_MS })

/**
 * @param airTemp  flags from context merged in; at least one reading beyond the day on either side where there is one
 * @returns null   for a day that is not over or less than 80 % measured
 */
export function measuredDay(day: LocalDay, airTemp: ReadingColumns, nowMs: number): MeasuredDay | null {
  if (nowMs < day.endMs) return null
  const { minC, maxC, coverage } = dayTemperatures('air-temp', airTemp, day, nowMs)
  if (minC === null || maxC === null || coverage < COMPLETE_COVERAGE) return null
  const evening = dayTemperatures('air-temp', airTemp, eveningOf(day), nowMs)
  return {
    date: day.date,
    minC,
    maxC,
    eveningC: evening.coverage < COMPLETE_COVERAGE ? null : evening.meanC,
  }
}
