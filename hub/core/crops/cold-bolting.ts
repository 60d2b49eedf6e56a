/**
 * Chill that makes plants flower (vernalisation). Cabbage and its kin feel it only past a juvenile size ("Juvenile stage in
 * cultivated forms of Brassica oleracea", Nature), Chinese cabbage from the moist seed on (Sci. Hort. 25:217, 1985), and warm
 * days soon afterwards undo part of it (devernalisation: Wiebe, Acta Hort. 371). Cultivars differ greatly: a dose is a risk,
 * never a certainty.
 */
import type { ColdBolting, Crop, Start } from './crop.js'
import { type Dose, doseAgainst, type PlantDay } from './dose.js'
import { trueLeaves } from './leaf-number.js'

/**
 * Chill older than this is fixed and cannot be undone. That undoing works on fresh chill only is published for wheat (its
 * models drop it after about ten days of chill: CERES-Wheat, from memory); the days for cabbage are a first guess.
 */
export const FRESH_DAYS = 14

/** Part of a day's full effect at a daily mean, 0 to 1: straight lines between the crop's four temperatures. */
export function chillPart(meanC: number, cold: ColdBolting): number {
  const rising = (meanC - cold.noneBelowC.value) / (cold.fullFromC.value - cold.noneBelowC.value)
  const falling = (cold.noneAboveC.value - meanC) / (cold.noneAboveC.value - cold.fullToC.value)
  return Math.max(0, Math.min(1, rising, falling))
}

export interface ColdDose extends Dose {
  /** days of chill that warmth has undone again */
  readonly undoneDays: number
  /** first day on which the plants could feel cold; null: they are too small still */
  readonly feelsColdFrom: string | null
}

/**
 * Chill dose of a planting, in days of full effect.
 *
 * @param days  consecutive, ascending, from the planting's start; chill before it (while raised elsewhere) is not known here
 * @returns null for a crop that cold does not make flower
 */
export function coldDose(crop: Crop, start: Start, days: readonly PlantDay[]): ColdDose | null {
  const cold = crop.coldBolting
  if (cold === null) return null
  /** chill by day, from which warm days take */
  const chill = new Float64Array(days.length)
  let undoneDays = 0
  let unknownDays = 0
  let feelsColdFrom: string | null = null
  for (const [i, day] of days.entries()) {
    const leavesNeeded = cold.juvenileLeaves?.value ?? 0
    if (trueLeaves(crop, start, day.degreeDaysC) < leavesNeeded) continue
    feelsColdFrom ??= day.date
    // a maximum that was measured is warm enough however little else was
    if (cold.undoneAboveC !== null && day.maxC !== null && day.maxC > cold.undoneAboveC.value) {
      undoneDays += takeFresh(chill, i, 1)
    } else if (day.meanC === null || day.isThin) {
      unknownDays++
    } else {
      chill[i] = chillPart(day.meanC, cold)
    }
  }
  const amount = chill.reduce((sum, part) => sum + part, 0)
  return {
    ...doseAgainst(amount, 'd', cold.watchDays, cold.likelyDays, unknownDays),
    undoneDays,
    feelsColdFrom,
  }
}

/** Takes up to so many days of chill, the freshest first; returns how much there was to take. */
function takeFresh(chill: Float64Array, today: number, wanted: number): number {
  let taken = 0
  for (let i = today - 1; i >= 0 && i >= today - FRESH_DAYS && taken < wanted; i--) {
    const part = Math.min(chill[i]!, wanted - taken)
    chill[i] = chill[i]! - part
    taken += part
  }
  return taken
}
