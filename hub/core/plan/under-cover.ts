/** Raising plants under cover: how long it takes there, and when they are up. */
import { type Crop, derived, fromPractice, type Sourced } from '../crops/crop.js'
import { daysToEmergence } from '../crops/germination.js'
import { stageMarks } from '../crops/stages.js'

/**
 * Mean temperature of a cool greenhouse, frame or windowsill where cabbages are raised. At it a cabbage's warmth before planting
 * out takes the usual six weeks.
 */
export const COVER_MEAN_C: Sourced = fromPractice(
  15,
  'cool greenhouse or frame; a cabbage then takes six weeks until it is planted out, as growers reckon (4 to 6 weeks: Univ. Illinois Extension)',
)
/** Seed is started warmer than it is grown on. Common practice. */
const SEED_C = 18

/**
 * Days under cover from sowing to planting out.
 * A crop usually sown in place is raised for three weeks of warmth, as stages.ts has it.
 */
export function daysUnderCover(crop: Crop): Sourced {
  const broughtC =
    stageMarks(crop, 'sown').at(-1)!.degreeDaysC - stageMarks(crop, 'planted-out').at(-1)!.degreeDaysC
  const days = Math.round(broughtC / (COVER_MEAN_C.value - crop.baseC.value))
  return derived(days, `${Math.round(broughtC)} °C·d at ${COVER_MEAN_C.value} °C; ${COVER_MEAN_C.note}`)
}

/** Days from sowing to emergence under cover; null: no germination table is known. */
export function emergenceUnderCover(crop: Crop): number | null {
  const { days } = daysToEmergence(crop, Math.min(SEED_C, crop.germination.maxSoilC.value))
  return days === null ? null : Math.ceil(days)
}
