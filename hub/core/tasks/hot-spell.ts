/** Whether a run of hot days is likely enough to water for. */
import type { ExtremesOdds } from '../forecast/local-outlook.js'
import { interval80 } from '../forecast/normal-odds.js'
import { spellStart } from '../forecast/spell-start.js'
import { lastTold, type SpellOdds, worthTelling } from '../forecast/warm-spell-odds.js'
import type { HotSpell } from './task.js'

/** What growers call a spell. */
export const SPELL_DAYS = 3
/** @returns null  less likely than is worth a watering can */
export function hotSpell(
  days: readonly ExtremesOdds[],
  odds: SpellOdds | null,
  isFirstSeason: boolean,
  limitC: number,
  words: string,
): HotSpell | null {
  const last = lastTold({ days })
  const chance = odds?.reachedBy[last]
  if (odds === null || chance === undefined || chance < worthTelling(isFirstSeason)) return null
  const told = days.slice(0, last + 1)
  return {
    fromDate: spellStart(days, odds.reachedBy, chance, SPELL_DAYS),
    chance,
    limitC,
    hottestC: Math.max(...told.map((day) => interval80(day.maxC).middleC)),
    words,
  }
}
