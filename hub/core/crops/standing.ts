/** When a planting stands in its bed, and whether its plants stand on when they are cut. */
import type { Crop } from './crop.js'
import type { PlantingDates } from './stages.js'

/**
 * Does a planting stand in its bed on a date? On the day it is finished it does no more. One without dates does:
 * the grower has entered it, after all.
 */
export function standsOn({ sownOn, plantedOutOn, finishedOn }: PlantingDates, date: string): boolean {
  const began = plantedOutOn ?? sownOn
  return (began === null || began <= date) && (finishedOn === null || finishedOn > date)
}

/** Parts that are picked again and again from plants that stand on. Common practice. */
const PICKED_OVER: ReadonlySet<Crop['forms']> = new Set(['leaves', 'pods', 'sprouts', 'stalks'])

/** Is the crop picked over? Then a cut takes no plant away, and as many plants can be cut again. */
export const isPickedOver = ({ forms }: Pick<Crop, 'forms'>): boolean => PICKED_OVER.has(forms)
