/** Warm-spell warnings over a record: by chance, and by the rule "warn when the day was hot". */
import type { Outlook } from '../../../../hub/core/forecast/local-outlook.js'
import {
  type SpellVerification,
  verifySpellWarnings,
} from '../../../../hub/core/forecast/spell-verification.js'
import { hotRunAtEnd, warmSpellOdds } from '../../../../hub/core/forecast/warm-spell-odds.js'
import type { DailyRecord } from './records.js'

export const SPELL_DAYS = 3
const LEAD_DAYS = 3

/** By day: the chance at its end that a spell is in force on one of the three days after; null: nothing known. */
export function spellChances(
  record: DailyRecord,
  outlooks: readonly (Outlook | null)[],
  thresholdC: number,
): (number | null)[] {
  const maximaC = record.days.map((day) => day?.maxC ?? null)
  return outlooks.map((outlook, i) =>
    outlook === null
      ? null
      : warmSpellOdds(
          outlook.days.map((day) => day.maxC),
          outlook.maxLinks,
          {
            thresholdC,
            spellDays: SPELL_DAYS,
            hotDaysBefore: hotRunAtEnd(maximaC.slice(Math.max(i - SPELL_DAYS, 0), i + 1), thresholdC),
          },
        ).reachedBy.at(-1)!,
  )
}

export interface SpellComparison {
  /** warned at this chance or more */
  readonly byChance: readonly { readonly chance: number; readonly scores: SpellVerification }[]
  readonly whenHot: SpellVerification
  /** of the chances, and of the rule read as chance 0 or 1 */
  readonly brier: { readonly forecast: number; readonly whenHot: number }
  /** by fifths of the chance: said, came true, how often */
  readonly reliability: readonly {
    readonly said: number | null
    readonly happened: number | null
    readonly count: number
  }[]
}

export function compareSpellWarnings(
  record: DailyRecord,
  outlooks: readonly (Outlook | null)[],
  thresholdC: number,
  fromIndex: number,
  chances: readonly number[],
): SpellComparison {
  const hot = record.days.map((day) => (day === null ? null : day.maxC > thresholdC))
  const said = spellChances(record, outlooks, thresholdC)
  const verify = (warned: (boolean | null)[]): SpellVerification =>
    verifySpellWarnings({ hot, warned, spellDays: SPELL_DAYS, leadDays: LEAD_DAYS, fromIndex })

  let run = 0
  const inForce = hot.map((isHot) => {
    run = isHot ? run + 1 : 0
    return run >= SPELL_DAYS
  })
  const fifths = Array.from({ length: 5 }, () => ({ said: 0, happened: 0, count: 0 }))
  const squares = { forecast: 0, whenHot: 0, count: 0 }
  for (let i = fromIndex; i + LEAD_DAYS < hot.length; i++) {
    const chance = said[i]
    if (chance === null || chance === undefined) continue
    const happened = inForce.slice(i + 1, i + 1 + LEAD_DAYS).some(Boolean) ? 1 : 0
    squares.forecast += (chance - happened) ** 2
    squares.whenHot += ((hot[i] ? 1 : 0) - happened) ** 2
    squares.count++
    const fifth = fifths[Math.min(Math.floor(chance * 5), 4)]!
    fifth.said += chance
    fifth.happened += happened
    fifth.count++
  }
  return {
    byChance: chances.map((chance) => ({
      chance,
      scores: verify(said.map((one) => (one === null ? null : one >= chance))),
    })),
    whenHot: verify(hot),
    brier: {
      forecast: squares.forecast / squares.count,
      whenHot: squares.whenHot / squares.count,
    },
    reliability: fifths.map(({ said: sum, happened, count }) => ({
      said: count === 0 ? null : sum / count,
      happened: count === 0 ? null : happened / count,
      count,
    })),
  }
}
