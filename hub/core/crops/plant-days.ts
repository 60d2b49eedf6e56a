/** A planting's days, made of day records: what stages and doses look at. */
import type { DayRecord } from '../../../shared/api/measurements.js'
import { type DayOptions, DEFAULT_DAY_OPTIONS } from '../days/day-record.js'
import { type SeasonDegreeDays, sumDegreeDays } from '../heat/season-degree-days.js'
import { COMPLETE_COVERAGE } from '../quality/completeness.js'
import type { Crop } from './crop.js'
import type { PlantDay } from './dose.js'

/** The thresholds with which a crop's day records are computed. */
export function dayOptionsFor(crop: Crop): DayOptions {
  return {
    ...DEFAULT_DAY_OPTIONS,
    baseC: crop.baseC.value,
    upperC: crop.upperC.value,
    heatAboveC: crop.heat?.aboveC.value ?? DEFAULT_DAY_OPTIONS.heatAboveC,
  }
}

/**
 * A planting's days with degree days added up.
 *
 * @param records         consecutive local days from the planting's start on, computed with dayOptionsFor(crop)
 * @param isRunning       the last of them is not over
 * @param dayLengthHours  sunrise to sunset, by date (sun/sun-times.ts)
 */
export function plantDays(
  records: readonly DayRecord[],
  isRunning: boolean,
  dayLengthHours: (date: string) => number,
): { readonly days: readonly PlantDay[]; readonly season: SeasonDegreeDays } {
  const season = sumDegreeDays(records, isRunning)
  const days = records.map(
    (record, i): PlantDay => ({
      date: record.date,
      // of the running day nothing is missing, it is only not over
      isThin: record.airCoverage < COMPLETE_COVERAGE,
      minC: record.airTempMinC,
      maxC: record.airTempMaxC,
      meanC: record.airTempMeanC,
      heatHours: record.heatHours,
      degreeDaysC: season.sumC[i]!,
      dayLengthHours: dayLengthHours(record.date),
    }),
  )
  return { days, season }
}
