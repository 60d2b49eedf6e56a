/** What sun a bed can have, and may expect, on any date, past or future. */
import type { LocalDay } from '../../../shared/local-time.js'
import type { Place } from '../readings.js'
import { type ClearFraction, clearFractionOn } from './clear-fraction.js'
import { possibleSun } from './possible-sun.js'
import { horizonOf, type Skyline } from './skyline.js'

export interface OutlookDay {
  readonly date: string
  /** sun hours under a cloudless sky, with the skyline at its most likely */
  readonly possibleSunHours: number
  /** the same with the skyline at its highest and at its lowest: nine chances in ten lie between, as a rule more */
  readonly possibleLow: number
  readonly possibleHigh: number
  /** possible sun hours times the part of them that is usually clear in that month; null: nothing known of the sky */
  readonly expectedSunHours: number | null
}

/**
 * Possible and expected sun hours of any days.
 *
 * @param skyline        learned or drawn; null: an open place
 * @param clearFraction  of this garden (clear-fraction.ts)
 */
export function sunOutlook(
  days: readonly LocalDay[],
  place: Place,
  skyline: Skyline | null,
  clearFraction: ClearFraction | null,
): OutlookDay[] {
  const horizons = skyline
    ? [horizonOf(skyline.elevationDeg), horizonOf(skyline.highDeg), horizonOf(skyline.lowDeg)]
    : [undefined, undefined, undefined]
  return days.map((day) => {
    const [likely, low, high] = possibleSun(day.startMs, day.endMs, place, horizons).map((possible) =>
      possible.hoursBetween(day.startMs, day.endMs),
    ) as [number, number, number]
    const fraction = clearFraction ? clearFractionOn(clearFraction, day.date) : null
    return {
      date: day.date,
      possibleSunHours: likely,
      possibleLow: Math.min(low, likely),
      possibleHigh: Math.max(high, likely),
      expectedSunHours: fraction === null ? null : likely * fraction,
    }
  })
}

export interface Stretch {
  readonly from: string
  readonly to: string
}

/** A week is what a grower plans by; single days on the edge would flicker. */
const WEEK_DAYS = 7

/**
 * Stretches of the outlook in which the hours, averaged over the week around each day, reach a mark: "which weeks have six
 * hours of sun".
 *
 * @param of  possible or expected hours of a day; a day with null ends a stretch
 */
export function stretchesReaching(
  outlook: readonly OutlookDay[],
  hours: number,
  of: (day: OutlookDay) => number | null = (day) => day.possibleSunHours,
): Stretch[] {
  const stretches: Stretch[] = []
  let from: string | null = null
  for (const [i, day] of outlook.entries()) {
    const week = outlook.slice(Math.max(0, i - (WEEK_DAYS >> 1)), i + (WEEK_DAYS >> 1) + 1).map(of)
    const sum = week.reduce<number | null>((s, h) => (s === null || h === null ? null : s + h), 0)
    const reaches = sum !== null && sum / week.length >= hours
    if (reaches && from === null) from = day.date
    const isLast = i === outlook.length - 1
    if (from !== null && (!reaches || isLast)) {
      stretches.push({ from, to: reaches ? day.date : outlook[i - 1]!.date })
      from = null
    }
  }
  return stretches
}
