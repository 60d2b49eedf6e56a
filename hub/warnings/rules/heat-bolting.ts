/**
 * Warm, long days that make leafy crops flower: the dose so far against the crop's limits, and what the forecast adds
 * to it. Day length is the sun's, and no cloth shortens it.
 */
import { chanceAbove } from '../../core/forecast/normal-odds.js'
import { lastTold } from '../../core/forecast/warm-spell-odds.js'
import { capital, celsius, counted } from '../../core/words.js'
import { freshAhead } from '../odds.js'
import type { BedView, Finding, PlantingView, Rule, RuleContext } from '../rule.js'
import { SOURCE_WORDS } from './limit-source.js'

/** A dose only falls when records are corrected: an open warning holds down to this part of it. */
const HOLD_SHARE = 0.8

export const heatBolting: Rule = {
  name: 'heat-bolting',
  holdMs: 6 * 3_600_000,
  find: (context) =>
    context.beds.flatMap((bed) => bed.plantings.flatMap((one) => boltingOf(one, bed, context) ?? [])),
}

function boltingOf(view: PlantingView, { bed, ahead }: BedView, context: RuleContext): Finding | null {
  const hot = view.crop?.heatBolting
  const dose = view.doses.warmDays
  if (!hot || !dose || view.progress.stage === 'finished') return null
  const cause = `heat-bolting/${view.planting.id}`
  const isLong = view.dayLengthHours > (hot.dayLongerThanHours?.value ?? 0)
  const fresh = freshAhead(ahead)
  const toCome =
    fresh && isLong
      ? fresh.forecast.days
          .slice(0, lastTold(fresh.forecast) + 1)
          .filter(({ leadDays }) => leadDays >= 1)
          .reduce((sum, { maxC }) => sum + chanceAbove(maxC, hot.maxAboveC.value), 0)
      : null
  const watchAt = dose.watchAt * (context.isOpen(cause) ? HOLD_SHARE : 1)
  const isLikely = dose.amount >= dose.likelyAt
  const isWatched = dose.amount >= watchAt
  const isFeared = !isWatched && dose.amount + (toCome ?? 0) >= watchAt && (toCome ?? 0) >= 1
  if (!isWatched && !isFeared) return null
  const long = hot.dayLongerThanHours ? ` and longer than ${hot.dayLongerThanHours.value} h` : ''
  const unknown =
    dose.unknownDays > 0
      ? ` On ${counted(dose.unknownDays, 'day')} too few readings came in: it may be more.`
      : ''
  const expected =
    toCome !== null && toCome >= 0.5
      ? ` Of the next ${counted(lastTold(fresh!.forecast), 'day')} about ${Math.round(toCome)} ${Math.round(toCome) === 1 ? 'is' : 'are'} expected to be so.`
      : ''
  return {
    kind: 'heat-bolting',
    cause,
    bed: bed.id,
    node: null,
    planting: view.planting.id,
    severity: isLikely ? 'Moderate' : 'Minor',
    urgency: isLikely ? 'Immediate' : isFeared ? 'Future' : 'Expected',
    certainty: isLikely ? 'Likely' : 'Possible',
    headline: `${capital(view.name)} in ${bed.name} ${isLikely ? 'is likely to bolt' : 'may bolt'} from warm, long days`,
    why: `${counted(dose.amount, 'day')} above ${celsius(hot.maxAboveC.value)}${long} so far; flowering becomes likely at about ${counted(dose.likelyAt, 'day')} (${SOURCE_WORDS[hot.likelyDays.source]}). Today is ${view.dayLengthHours.toFixed(1)} h long.${expected}${unknown}`,
    advice: isLikely ? LIKELY_ADVICE : WATCH_ADVICE,
  }
}

const WATCH_ADVICE =
  'Pick outer leaves now and often. Shade cloth (30 to 50 %) over the hottest hours and even, cool moisture put bolting off, but shade does not shorten the day: do not count on it alone. Do not let the soil dry out. Work in the cool hours yourself.'
const LIKELY_ADVICE =
  'Look into the hearts: where the middle stretches, cut the whole plant now, before it turns bitter. Do not pinch out the stalk, it comes again. For next time: a kind slow to bolt, and a sowing in late summer that grows into shorter, cooler days.'
