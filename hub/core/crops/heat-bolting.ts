/** Warm, long days that make leafy crops flower (lettuce, spinach, coriander, radish). */
import type { Crop, Start } from './crop.js'
import { type Dose, doseAgainst, type PlantDay } from './dose.js'
import { trueLeaves } from './leaf-number.js'

/**
 * Warm days of a planting that are longer than its crop bears, from its first true leaf on.
 *
 * Shade cloth cools but does not shorten a day: what day length alone does, it cannot help.
 *
 * @param days  consecutive, ascending, from the planting's start
 * @returns null for a crop that warmth and long days do not make flower
 */
export function heatBoltingDose(crop: Crop, start: Start, days: readonly PlantDay[]): Dose | null {
  const bolting = crop.heatBolting
  if (bolting === null) return null
  const longerThanHours = bolting.dayLongerThanHours?.value ?? 0
  let counted = 0
  let unknownDays = 0
  for (const day of days) {
    if (day.dayLengthHours <= longerThanHours || trueLeaves(crop, start, day.degreeDaysC) < 1) continue
    if (day.maxC !== null && day.maxC > bolting.maxAboveC.value) counted++
    else if (day.maxC === null || day.isThin) unknownDays++
  }
  return doseAgainst(counted, 'd', bolting.watchDays, bolting.likelyDays, unknownDays)
}
