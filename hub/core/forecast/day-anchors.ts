/** The three turning points between which a day's temperature runs: warmest, coolest, warmest again. */
import type { LocalDay } from '../../../shared/local-time.js'
import type { Place } from '../readings.js'
import { sunTimes } from '../sun/sun-times.js'

const HOUR_MS = 3_600_000
/** Air is usually warmest three hours after the sun's highest point. What the bed does about it, its shape learns. */
const WARMEST_AFTER_NOON_MS = 3 * HOUR_MS
/** Where the sun does not rise or hardly sets, the coolest hour is taken within these bounds before solar noon. */
const EARLIEST_COOLEST_MS = 9 * HOUR_MS
const LATEST_COOLEST_MS = 3 * HOUR_MS
const COOLEST_WITHOUT_SUNRISE_MS = 6 * HOUR_MS

export interface DayAnchors {
  /** sunrise, about when air is coolest */
  readonly coolestMs: number
  readonly warmestMs: number
}

export function dayAnchors(day: LocalDay, place: Place): DayAnchors {
  const { sunriseMs, solarNoonMs } = sunTimes(day, place)
  const beforeNoonMs = sunriseMs === null ? COOLEST_WITHOUT_SUNRISE_MS : solarNoonMs - sunriseMs
  return {
    coolestMs: solarNoonMs - Math.min(Math.max(beforeNoonMs, LATEST_COOLEST_MS), EARLIEST_COOLEST_MS),
    warmestMs: solarNoonMs + WARMEST_AFTER_NOON_MS,
  }
}
