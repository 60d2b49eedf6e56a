/** A warm spell to come in a bed: how likely, when, how hot. Pure. */
import type { Garden } from '../../shared/api/garden.js'
import { localDay } from '../../shared/local-time.js'
import { interval80 } from '../core/forecast/normal-odds.js'
import { spellStart } from '../core/forecast/spell-start.js'
import { lastTold } from '../core/forecast/warm-spell-odds.js'
import { type FreshAhead, warnFrom } from './odds.js'

export interface SpellAhead {
  /** that so many hot days in a row come about, 0 to 1 */
  readonly chance: number
  /** first day of the spell as it will most likely come */
  readonly fromDate: string
  /** last day that was looked at */
  readonly toDate: string
  readonly onsetMs: number
  readonly expiresMs: number
  /** hottest day of the middle course, °C */
  readonly hottestC: number
  /** days whose middle maximum lies so far above the limit that two of them are enough */
  readonly farDays: number
}

/** Days this much above the limit are enough by twos. */
const FAR_ABOVE_C = 3

/** @returns null  less likely than is worth telling */
export function spellAhead(
  ahead: FreshAhead,
  limitC: number,
  spellDays: number,
  isOpen: boolean,
  { timeZone }: Garden,
): SpellAhead | null {
  const { days } = ahead.forecast
  const last = lastTold(ahead.forecast)
  const odds = ahead.spellOdds(limitC, spellDays)
  const chance = odds?.reachedBy[last]
  if (!odds || chance === undefined || chance < warnFrom(ahead, isOpen)) return null
  const told = days.slice(0, last + 1)
  const from = spellStart(days, odds.reachedBy, chance, spellDays)
  const middles = told.map((day) => interval80(day.maxC).middleC)
  return {
    chance,
    fromDate: from,
    toDate: told.at(-1)!.date,
    onsetMs: localDay(from, timeZone).startMs,
    expiresMs: localDay(told.at(-1)!.date, timeZone).endMs,
    hottestC: Math.max(...middles),
    farDays: middles.filter((middleC) => middleC >= limitC + FAR_ABOVE_C).length,
  }
}
