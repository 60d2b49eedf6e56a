/** The garden's day records as days for a plan: what was measured for too little of a day counts as not measured. */
import type { DayRecord } from '../../../shared/api/measurements.js'
import { COMPLETE_COVERAGE } from '../quality/completeness.js'
import type { MeasuredDay } from './climate-from-days.js'

type Measured = Pick<
  DayRecord,
  'date' | 'airTempMinC' | 'airTempMaxC' | 'airTempMeanC' | 'airCoverage' | 'soilTempMeanC' | 'soilCoverage'
>

/** @param records  ascending; holes allowed */
export const measuredDays = (records: readonly Measured[]): MeasuredDay[] =>
  records.map((record): MeasuredDay => {
    const isAirKnown = record.airCoverage >= COMPLETE_COVERAGE
    return {
      date: record.date,
      minC: isAirKnown ? record.airTempMinC : null,
      maxC: isAirKnown ? record.airTempMaxC : null,
      meanC: isAirKnown ? record.airTempMeanC : null,
      soilMeanC: record.soilCoverage >= COMPLETE_COVERAGE ? record.soilTempMeanC : null,
    }
  })
