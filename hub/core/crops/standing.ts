/** When a planting stands in its bed. */
import type { PlantingDates } from './stages.js'

/**
 * Does a planting stand in its bed on a date? On the day it is finished it does no more. One without dates does:
 * the grower has entered it, after all.
 */
export function standsOn({ sownOn, plantedOutOn, finishedOn }: PlantingDates, date: string): boolean {
  const began = plantedOutOn ?? sownOn
  return (began === null || began <= date) && (finishedOn === null || finishedOn > date)
}
