/** When sowing in place pays: the usual soil through the year against the crop's germination table. */

import type { Crop } from '../crops/crop.js'
import { type SoilForSowing, soilForSowing } from '../crops/emergence.js'
import { daysToEmergence } from '../crops/germination.js'
import type { Climate } from './climate.js'
import { dateAt, SLOTS } from './year-slots.js'

export interface SoilWeek {
  readonly date: string
  /** usual soil at sowing depth, °C */
  readonly soilMeanC: number
  readonly verdict: SoilForSowing
  /** at that temperature; null: nothing comes up, or nobody has tried */
  readonly daysToEmergence: number | null
}

export interface SowingSoil {
  readonly weeks: readonly SoilWeek[]
  /** stretches of days with soil fit to sow into, ascending; one round the new year is listed once, by its first day */
  readonly fit: readonly { readonly from: string; readonly to: string }[]
  /** measured here, or taken from the air (soil-from-air.ts) */
  readonly basis: Climate['soilBasis']
}

/** The soil of a year, week by week, and when it is fit. */
export function sowingSoil(crop: Crop, climate: Climate, year: number): SowingSoil {
  const verdicts = Array.from(climate.usualSoilC, (soilC) => soilForSowing(crop, soilC))
  const weeks = Array.from({ length: Math.ceil(SLOTS / 7) }, (_, week): SoilWeek => {
    const slot = week * 7
    const soilMeanC = climate.usualSoilC[slot]!
    const { days } = daysToEmergence(crop, soilMeanC)
    return { date: dateAt(year, slot), soilMeanC, verdict: verdicts[slot]!, daysToEmergence: days }
  })
  return { weeks, fit: fitStretches(verdicts, year), basis: climate.soilBasis }
}

function fitStretches(verdicts: readonly SoilForSowing[], year: number): { from: string; to: string }[] {
  const isFit = (slot: number): boolean => verdicts[(slot + SLOTS) % SLOTS] === 'fit'
  if (verdicts.every((verdict) => verdict === 'fit')) {
    return [{ from: dateAt(year, 0), to: dateAt(year, SLOTS - 1) }]
  }
  const stretches: { from: string; to: string }[] = []
  for (let slot = 0; slot < SLOTS; slot++) {
    if (!isFit(slot) || isFit(slot - 1)) continue
    let end = slot
    while (isFit(end + 1)) end++
    stretches.push({ from: dateAt(year, slot), to: dateAt(year, end) })
  }
  return stretches
}
