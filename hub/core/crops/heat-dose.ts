/** Heat that spoils what is eaten, weighed by how much the crop minds at its stage. */
import type { Crop, Start } from './crop.js'
import { type Dose, doseAgainst, type PlantDay } from './dose.js'
import { type StageMark, stageMarks } from './stages.js'

/**
 * Broccoli and cauliflower are hurt when the curd is laid down inside plants that still look leafy (Björkman & Pearson 1998,
 * J. Exp. Bot. 49:101): their last part of leafing counts in full.
 */
const CURD_LAID_DOWN_FROM = 0.85
/** A formed head no longer opens, but splits and softens: half counts. First guess. */
const READY_WEIGHT = 0.5
/** A night too warm makes the day's heat a quarter worse. First guess; that it does is published for broccoli. */
const WARM_NIGHT_FACTOR = 1.25

/**
 * How much the crop minds heat after so many degree days, 0 to 1.
 *
 * @param marks  those of the planting where the grower has set them right (observed-stages.ts)
 */
export function heatWeight(
  crop: Crop,
  start: Start,
  degreeDaysC: number,
  marks: readonly StageMark[] = stageMarks(crop, start),
): number {
  const at = new Map(marks.map((mark) => [mark.stage, mark.degreeDaysC]))
  const headingC = at.get('heading')
  const readyC = at.get('ready')
  const finishedC = at.get('finished')
  if (headingC === undefined || readyC === undefined || finishedC === undefined) return 0
  const fromC = crop.forms === 'curd' ? headingC * CURD_LAID_DOWN_FROM : headingC
  if (degreeDaysC < fromC || degreeDaysC >= finishedC) return 0
  return degreeDaysC < readyC ? 1 : READY_WEIGHT
}

/**
 * Heat dose of a planting, in hours above the crop's limit.
 *
 * @param days  consecutive, ascending, from the planting's start; heat hours above the crop's own limit
 * @param marks  those of the planting where the grower has set them right (observed-stages.ts)
 * @returns null for a crop without one
 */
export function heatDose(
  crop: Crop,
  start: Start,
  days: readonly PlantDay[],
  marks: readonly StageMark[] = stageMarks(crop, start),
): Dose | null {
  const { heat } = crop
  if (heat === null) return null
  let hours = 0
  let unknownDays = 0
  for (const day of days) {
    const weight = heatWeight(crop, start, day.degreeDaysC, marks)
    if (weight === 0) continue
    if (day.heatHours === null || day.isThin) unknownDays++
    if (day.heatHours === null) continue
    const isWarmNight = heat.nightAboveC !== null && day.minC !== null && day.minC > heat.nightAboveC.value
    hours += weight * day.heatHours * (isWarmNight ? WARM_NIGHT_FACTOR : 1)
  }
  return doseAgainst(hours, 'h', heat.watchHours, heat.likelyHours, unknownDays)
}
