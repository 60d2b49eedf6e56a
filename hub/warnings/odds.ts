/** When the odds of a forecast are worth a warning, and what may be said of them. Pure. */

import type { BedForecast } from '../core/forecast/bed-outlook.js'
import type { TemperatureOdds } from '../core/forecast/normal-odds.js'
import { chanceAbove } from '../core/forecast/normal-odds.js'
import { LIKELY_SPELL_CHANCE, POSSIBLE_SPELL_CHANCE } from '../core/forecast/warm-spell-odds.js'
import type { BedAhead } from '../forecast/port.js'

/**
 * In a bed's first season odds rest on beliefs. On a garden's first eight months (Winters 2008) warnings of warm spells
 * from a chance of 0.2, 0.3, 0.4 and 0.5 were false alarms in 54, 45, 29 and 17 % of cases; they told of all, all, and
 * ten and ten of eleven spells, 2.6 to 1.7 days ahead (`npm run accuracy`).
 */
export const FIRST_SEASON_CHANCE = 0.4
/** An open warning is held down to this part of the chance that raises it, so that it does not flap. */
const HOLD_SHARE = 0.6
/** Beyond these the chance of a run of days is not worth telling (bed-outlook.ts: the bed's own days reach three). */
const MOST_LEAD_DAYS = 5

export interface FreshAhead extends BedAhead {
  readonly forecast: BedForecast
}

/** What is to come, if it is fresh enough to warn by; null: it is not, or nothing is known. */
export const freshAhead = (ahead: BedAhead | null): FreshAhead | null =>
  ahead?.forecast && ahead.isFresh ? { ...ahead, forecast: ahead.forecast } : null

/** From which chance to warn. @param possible  in a garden whose odds can be taken at their word */
export function warnFrom(ahead: BedAhead, isOpen: boolean, possible = POSSIBLE_SPELL_CHANCE): number {
  const raise = ahead.isFirstSeason ? Math.max(possible, FIRST_SEASON_CHANCE) : possible
  return isOpen ? raise * HOLD_SHARE : raise
}

/** CAP 1.2: likely from one half on. */
export const certaintyOf = (chance: number): 'Likely' | 'Possible' =>
  chance >= LIKELY_SPELL_CHANCE ? 'Likely' : 'Possible'

/** "3 in 10": chances bear no more digits. From "less than 1 in 10" to "more than 9 in 10". */
export function inTen(chance: number): string {
  const tenths = Math.round(chance * 10)
  if (tenths < 1) return 'less than 1 in 10'
  return tenths > 9 ? 'more than 9 in 10' : `about ${tenths} in 10`
}

/** Index of the last day of a forecast that is worth telling. */
export const lastTold = ({ days }: BedForecast): number =>
  days.findLastIndex((day) => day.leadDays <= MOST_LEAD_DAYS)

const HOUR_MS = 3_600_000
/** Half of an 80 % interval, in standard deviations. */
const HALF_WIDTH_80 = 1.2816

/** Hours above a temperature to be expected within the forecast's course, h. */
export function expectedHoursAbove({ course }: BedForecast, aboveC: number, untilMs: number): number {
  let sum = 0
  for (let i = 0; i + 1 < course.timeMs.length && course.timeMs[i]! < untilMs; i++) {
    const odds: TemperatureOdds = {
      meanC: course.middleC[i]!,
      sdC: Math.max(course.highC[i]! - course.middleC[i]!, 0) / HALF_WIDTH_80,
      atLeastC: null,
      atMostC: null,
    }
    sum += chanceAbove(odds, aboveC) * ((course.timeMs[i + 1]! - course.timeMs[i]!) / HOUR_MS)
  }
  return sum
}
