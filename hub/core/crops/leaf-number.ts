/** How many true leaves a plant has, from degree days: the size from which it feels cold. */
import type { Crop, Start } from './crop.js'
import { derived } from './crop.js'

/**
 * Warmth from one leaf to the next. The number of leaves grows straight with degree days (crisp lettuce: Wurr & Fellows);
 * the rate is chosen so that a cabbage raised for five weeks goes out with five to six leaves and starts its head with some
 * fifteen, as the growth stages of Andaloro et al. 1983 (Cornell) have it.
 */
export const LEAF_DEGREE_DAYS = derived(
  45,
  '°C·d a leaf over 4.4 °C: five to six leaves after five weeks at 17 °C, about fifteen when the head starts; first guess',
)

/**
 * True leaves open.
 *
 * @param degreeDaysC  since the planting's start
 */
export function trueLeaves(crop: Crop, start: Start, degreeDaysC: number): number {
  const { toEmerged, toPlantingOut } = crop.degreeDays
  const sinceSowingC = degreeDaysC + (start === 'planted-out' ? toPlantingOut.value : 0)
  // the first true leaf takes about as long again as emergence
  const firstLeafC = 2 * toEmerged.value
  return sinceSowingC < firstLeafC ? 0 : 1 + Math.floor((sinceSowingC - firstLeafC) / LEAF_DEGREE_DAYS.value)
}
