/** A dose against its limits: what a planting has taken of something, and how much of it does harm. */
import type { Sourced } from './crop.js'

export interface Dose {
  readonly amount: number
  readonly unit: 'h' | 'd'
  /** worth a look from here on */
  readonly watchAt: number
  /** harm is likely from here on */
  readonly likelyAt: number
  readonly level: 'none' | 'watch' | 'likely'
  /** days that could not be judged for want of readings: the amount may be more */
  readonly unknownDays: number
}

export function doseAgainst(
  amount: number,
  unit: Dose['unit'],
  watch: Sourced,
  likely: Sourced,
  unknownDays: number,
): Dose {
  const level = amount >= likely.value ? 'likely' : amount >= watch.value ? 'watch' : 'none'
  return { amount, unit, watchAt: watch.value, likelyAt: likely.value, level, unknownDays }
}

/** One day of a planting's life, as the doses look at it (plant-days.ts). Figures are null where nothing was measured. */
export interface PlantDay {
  readonly date: string
  /** measured for too little of the day: extremes and hours may be more than the figures say */
  readonly isThin: boolean
  readonly minC: number | null
  readonly maxC: number | null
  readonly meanC: number | null
  /** above the crop's own heat limit */
  readonly heatHours: number | null
  /** since the planting's start, to the end of the day (heat/season-degree-days.ts) */
  readonly degreeDaysC: number
  /** sunrise to sunset on a level horizon */
  readonly dayLengthHours: number
}
