/** When the odds of a forecast are worth a warning, and what may be said of them. Pure. */

import type { BedForecast } from '../core/forecast/bed-outlook.js'
import type { TemperatureOdds } from '../core/forecast/normal-odds.js'
import { chanceAbove } from '../core/forecast/normal-odds.js'
import { LIKELY_SPELL_CHANCE, worthTelling } from '../core/forecast/warm-spell-odds.js'
import type { BedAhead } from '../forecast/port.js'

/** An open warning is held down to this part of the chance that raises it, so that it does not flap. */
const HOLD_SHARE = 0.6

export interface FreshAhead extends BedAhead {
  readonly forecast: BedForecast
}

/** What is to come, if it is fresh enough to warn by; null: it is not, or nothing is known. */
export const freshAhead = (ahead: BedAhead | null): FreshAhead | null =>
  ahead?.forecast && ahead.isFresh ? { ...ahead, forecast: ahead.forecast } : null

/** From which chance to warn. @param possible  in a garden whose odds can be taken at their word */
export function warnFrom(ahead: BedAhead, isOpen: boolean, possible?: number): number {
  const raise = worthTelling(ahead.isFirstSeason, possible)
  return isOpen ? raise * HOLD_SHARE : raise
}

/** CAP 1.2: likely from one half on. */
export const certaintyOf = (chance: number): 'Likely' | 'Possible' =>
  chance >= LIKELY_SPELL_CHANCE ? 'Likely' : 'Possible'

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
