/** Emergence as the soil's warmth goes: how far along a sowing is, and whether the soil is fit to sow into. */
import type { Crop } from './crop.js'
import { daysToEmergence } from './germination.js'

export interface SoilDay {
  readonly date: string
  /** mean soil temperature at sowing depth, °C; null: not measured */
  readonly soilMeanC: number | null
}

export interface EmergenceProgress {
  /** 0 at sowing to 1 when the seedlings are up */
  readonly part: number
  /** first day on which part reached 1; null: not yet */
  readonly emergedOn: string | null
  /** days that could not be judged: soil not measured, or a temperature that was never tested */
  readonly unknownDays: number
}

/**
 * Adds up each day's part of emergence, 1 / days at that day's soil temperature.
 *
 * @param days  consecutive, from the day of sowing on; the running day may be the last
 */
export function emergenceProgress(crop: Crop, days: readonly SoilDay[]): EmergenceProgress {
  let part = 0
  let emergedOn: string | null = null
  let unknownDays = 0
  for (const { date, soilMeanC } of days) {
    const emergence = soilMeanC === null ? null : daysToEmergence(crop, soilMeanC)
    if (emergence === null || emergence.reason === 'not tested') unknownDays++
    else if (emergence.days !== null) part += 1 / emergence.days
    // sums of thirds and fifths end a hair short of 1
    if (part >= 1 - 1e-9 && emergedOn === null) emergedOn = date
  }
  return { part: Math.min(1, part), emergedOn, unknownDays }
}

export type SoilForSowing = 'too cold' | 'slow' | 'fit' | 'too hot'

/** Seed that lies longer than this rots, or is eaten, before it is up. Common practice: two weeks. */
export const SLOW_EMERGENCE_DAYS = 14

/** Is soil of this mean temperature fit to sow the crop into? */
export function soilForSowing(crop: Crop, soilMeanC: number): SoilForSowing {
  const { minSoilC, maxSoilC } = crop.germination
  const { days, reason } = daysToEmergence(crop, soilMeanC)
  if (soilMeanC < minSoilC.value || reason === 'too cold') return 'too cold'
  if (soilMeanC > maxSoilC.value || reason === 'too hot') return 'too hot'
  if (days !== null) return days > SLOW_EMERGENCE_DAYS ? 'slow' : 'fit'
  // within the limits, but colder than anyone tested: slow at best
  const coldestTestedC = crop.germination.points[0]?.soilTempC
  return coldestTestedC !== undefined && soilMeanC < coldestTestedC ? 'slow' : 'fit'
}
