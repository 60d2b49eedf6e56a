/** Soil too cold for what is sown in it, or about to be: from the bed's own soil over the last days. */
import { daysBetween } from '../../../shared/local-time.js'
import { soilForSowing } from '../../core/crops/emergence.js'
import { daysToEmergence } from '../../core/crops/germination.js'
import { celsius, counted } from '../../core/words.js'
import type { BedView, Finding, Rule, RuleContext, SowingView } from '../rule.js'

/** An open warning holds until the soil is this much warmer than what raises it. */
const HOLD_ABOVE_C = 0.5

export const coldSoil: Rule = {
  name: 'cold-soil',
  holdMs: 24 * 3_600_000,
  find: (context) =>
    context.beds.flatMap((bed) => bed.sowings.flatMap((one) => coldFor(one, bed, context) ?? [])),
}

function coldFor(sowing: SowingView, { bed }: BedView, { date, isOpen }: RuleContext): Finding | null {
  const { crop, planting, name, sownOn, soilMeanC } = sowing
  const cause = `cold-soil/${planting.id}`
  const fitness = soilForSowing(crop, soilMeanC - (isOpen(cause) ? HOLD_ABOVE_C : 0))
  if (fitness !== 'too cold' && fitness !== 'slow') return null
  const inDays = daysBetween(date, sownOn)
  const isSown = inDays <= 0
  const isTooCold = fitness === 'too cold'
  const { days } = daysToEmergence(crop, soilMeanC)
  const { minSoilC } = crop.germination
  return {
    kind: 'cold-soil',
    cause,
    bed: bed.id,
    node: null,
    planting: planting.id,
    severity: isTooCold ? 'Moderate' : 'Minor',
    urgency: isSown ? 'Immediate' : 'Future',
    certainty: isTooCold ? 'Likely' : 'Possible',
    headline: `The soil of ${bed.name} is ${isTooCold ? 'too cold' : 'cold'} for ${name}${isSown ? `, sown on ${sownOn}` : `, to be sown ${inDays === 1 ? 'tomorrow' : `in ${counted(inDays, 'day')}`}`}`,
    why: `Mean of the last days: ${celsius(soilMeanC)}. ${
      isTooCold
        ? `Below about ${celsius(minSoilC.value)} nothing comes up, and the seed rots.`
        : days === null
          ? 'Nobody has tested how long it takes in soil so cold: slow at best.'
          : `Seedlings take about ${counted(Math.round(days), 'day')} to come up in it, and many are lost by then.`
    }`,
    advice: isSown
      ? 'Warm the soil with fleece or a cloche and keep it just moist, not wet. Scratch for the seed after a fortnight; if it is soft, sow again when the soil is warmer.'
      : 'Wait, or warm the soil first: a cloche, fleece or dark cover for one to two weeks. Or sow indoors and plant out. Do not soak cold soil.',
  }
}
