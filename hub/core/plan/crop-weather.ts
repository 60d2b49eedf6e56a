/** One way a year may go, as one crop feels it: computed once, looked up for every week of sowing. */
import type { Crop } from '../crops/crop.js'
import { daysToEmergence } from '../crops/germination.js'
import { sineCurve } from '../heat/day-curves.js'
import { dailyDegreeDays } from '../heat/degree-days.js'
import { monthAround, type YearOfWeather } from './climate.js'

export interface CropWeather extends YearOfWeather {
  readonly degreeDaysC: Float64Array
  /** above the crop's heat limit, by a sine through minimum and maximum; 0 for a crop without one */
  readonly heatHours: Float64Array
  /** mean of the month around each day, °C */
  readonly monthMeanC: Float64Array
  /** part of the way from sowing to emergence that a day in the soil brings */
  readonly emergencePart: Float64Array
}

export function cropWeather(crop: Crop, year: YearOfWeather): CropWeather {
  const limits = { baseC: crop.baseC.value, upperC: crop.upperC.value, cutoff: 'horizontal' as const }
  const hotC = crop.heat?.aboveC.value ?? null
  return {
    ...year,
    degreeDaysC: year.minC.map((minC, slot) => dailyDegreeDays('sine', minC, year.maxC[slot]!, null, limits)),
    heatHours: year.minC.map((minC, slot) =>
      hotC === null ? 0 : 24 * sineCurve(minC, year.maxC[slot]!).fractionAbove(hotC),
    ),
    monthMeanC: monthAround(year.meanC),
    emergencePart: year.soilC.map((soilC) => emergencePart(crop, soilC)),
  }
}

/**
 * Part of emergence in a day. Soil colder than anyone tested brings nothing: the plan is then late rather than early. Warmer
 * than tested but within the crop's limit counts as the warmest tested.
 */
function emergencePart(crop: Crop, soilC: number): number {
  const { points, maxSoilC } = crop.germination
  const { days, reason } = daysToEmergence(crop, soilC)
  if (days !== null) return 1 / days
  const warmest = points.at(-1)
  const isBeyond = reason === 'not tested' && warmest !== undefined && soilC > warmest.soilTempC
  if (!isBeyond || soilC > maxSoilC.value || warmest.daysToEmergence === null) return 0
  return 1 / warmest.daysToEmergence
}
