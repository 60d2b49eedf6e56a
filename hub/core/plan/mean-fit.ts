/** How well a month's mean temperature suits a crop. */
import type { Crop } from '../crops/crop.js'

/**
 * 1 in the crop's best range, straight down to 0 at its lowest and highest monthly mean (Knott's Handbook for Vegetable
 * Growers gives the four temperatures; the straight lines are ours).
 *
 * @param monthMeanC  mean of the month around, °C
 */
export function meanFit(crop: Pick<Crop, 'bestMeanC' | 'minMeanC' | 'maxMeanC'>, monthMeanC: number): number {
  const { from, to } = crop.bestMeanC
  const rising = (monthMeanC - crop.minMeanC.value) / (from.value - crop.minMeanC.value)
  const falling = (crop.maxMeanC.value - monthMeanC) / (crop.maxMeanC.value - to.value)
  return Math.max(0, Math.min(1, rising, falling))
}
