/** The day record: everything computed for one bed and one local calendar day. Pure. */
import type { DayRecord } from '../../../shared/api/measurements.js'
import type { LocalDay } from '../../../shared/local-time.js'
import type { Place, ReadingColumns } from '../readings.js'
import type { DaySun } from '../sun/day-sun.js'

/** Raise it when the computation changes: cached records of other versions are computed again. */
export const DAY_RECORD_VERSION = 1

export interface DayOptions {
  readonly baseC: number
  readonly upperC: number
  readonly heatAboveC: number
  readonly chillAboveC: number
  readonly chillBelowC: number
  readonly method: 'integral' | 'average' | 'triangle' | 'double-triangle' | 'sine' | 'double-sine'
  readonly cutoff: 'horizontal' | 'intermediate' | 'vertical' | 'none'
}

/** Readings of the bed with at least CONTEXT_MS (core/quality) either side of the day where they exist. */
export interface DayReadings {
  readonly airTemp: ReadingColumns
  readonly soilTemp: ReadingColumns
  readonly light: ReadingColumns
  readonly irradiance: ReadingColumns
}

export declare function computeDayRecord(
  day: LocalDay,
  readings: DayReadings,
  sun: DaySun,
  place: Place,
  nowMs: number,
  options: DayOptions,
): DayRecord
