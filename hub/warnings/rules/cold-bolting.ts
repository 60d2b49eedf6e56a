/**
 * Chill that makes plants flower: days of full effect since they were old enough to feel it, against the crop's limits.
 * Warm days soon afterwards undo some of it, which the dose knows (core/crops/cold-bolting.ts). Kinds differ greatly.
 */
import { capital, celsius, counted } from '../../core/words.js'
import type { BedView, Finding, PlantingView, Rule, RuleContext } from '../rule.js'
import { SOURCE_WORDS } from './limit-source.js'

/** Warm days take from the dose: an open warning holds down to this part of the limit. */
const HOLD_SHARE = 0.8

export const coldBolting: Rule = {
  name: 'cold-bolting',
  holdMs: 24 * 3_600_000,
  find: (context) =>
    context.beds.flatMap((bed) => bed.plantings.flatMap((one) => boltingOf(one, bed, context) ?? [])),
}

function boltingOf(view: PlantingView, { bed }: BedView, context: RuleContext): Finding | null {
  const cold = view.crop?.coldBolting
  const dose = view.doses.chill
  // what is ready to cut will be cut before it can flower
  if (!cold || !dose || ['ready', 'finished'].includes(view.progress.stage)) return null
  const cause = `cold-bolting/${view.planting.id}`
  if (dose.amount < dose.watchAt * (context.isOpen(cause) ? HOLD_SHARE : 1)) return null
  const isLikely = dose.amount >= dose.likelyAt
  const days = (n: number): string => counted(Math.round(n * 10) / 10, 'day')
  const undone = dose.undoneDays >= 0.5 ? ` Warm days have undone ${days(dose.undoneDays)} of it.` : ''
  const unknown =
    dose.unknownDays > 0
      ? ` On ${counted(dose.unknownDays, 'day')} too few readings came in: it may be more.`
      : ''
  return {
    kind: 'cold-bolting',
    cause,
    bed: bed.id,
    node: null,
    planting: view.planting.id,
    severity: isLikely ? 'Moderate' : 'Minor',
    urgency: 'Expected',
    certainty: isLikely ? 'Likely' : 'Possible',
    headline: `${capital(view.name)} in ${bed.name} ${isLikely ? 'is likely to flower instead of forming' : 'may flower instead of forming'} what is eaten: too much chill`,
    why: `${days(dose.amount)} of full chill (daily means of ${celsius(cold.fullFromC.value)} to ${celsius(cold.fullToC.value)} count whole) since ${dose.feelsColdFrom ?? 'it was big enough to feel it'}; flowering becomes likely at about ${days(dose.likelyAt)} (${SOURCE_WORDS[cold.likelyDays.source]}). Kinds differ greatly.${undone}${unknown}`,
    advice: isLikely ? LIKELY_ADVICE : WATCH_ADVICE,
  }
}

const WATCH_ADVICE =
  'Keep them warmer and growing: fleece or a cloche by day and night, aired when the sun shines. Warm days soon after cold undo part of it. Do not check them by drought or by moving them. Watch for a heart that lengthens.'
const LIKELY_ADVICE =
  'Feel and look for a heart that lengthens, and use such plants at once as greens. Those that still form may yet do so: leave them. For next time: sow later, or set out smaller plants (stems thinner than a pencil) before the cold, or a kind bred not to bolt.'
