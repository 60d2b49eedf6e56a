/** Whether a run of hot days is likely enough to water for. */
import type { ExtremesOdds } from '../forecast/local-outlook.js'
import { interval80 } from '../forecast/normal-odds.js'
import { spellStart } from '../forecast/spell-start.js'
import { POSSIBLE_SPELL_CHANCE, type SpellOdds } from '../forecast/warm-spell-odds.js'
import type { HotSpell } from './task.js'

/** What growers call a spell. */
export const SPELL_DAYS = 3
/** Of crops without a limit of their own, °C: 80 °F. */
export const USUAL_LIMIT_C = 27
/** Beyond these days the chance of a run is not worth telling (as for warnings). */
const MOST_LEAD_DAYS = 5
/** Odds of a bed's first season rest on beliefs (as for warnings). */
const FIRST_SEASON_CHANCE = 0.4

/** @returns null  less likely than is worth a watering can */
export function hotSpell(
  days: readonly ExtremesOdds[],
  odds: SpellOdds | null,
  isFirstSeason: boolean,
  limitC: number,
  words: string,
): HotSpell | null {
  const last = days.findLastIndex((day) => day.leadDays <= MOST_LEAD_DAYS)
  const chance = odds?.reachedBy[last]
  const worth = isFirstSeason ? Math.max(POSSIBLE_SPELL_CHANCE, FIRST_SEASON_CHANCE) : POSSIBLE_SPELL_CHANCE
  if (odds === null || chance === undefined || chance < worth) return null
  const told = days.slice(0, last + 1)
  return {
    fromDate: spellStart(days, odds.reachedBy, chance, SPELL_DAYS),
    chance,
    limitC,
    hottestC: Math.max(...told.map((day) => interval80(day.maxC).middleC)),
    words,
  }
}
