/**
 * The sun of one bed on one local day: segments of sun state, sun hours, possible sun hours, coverage.
 */
import type { SunState } from '../../../shared/api/measurements.js'
import type { LocalDay } from '../../../shared/local-time.js'
import type { Place, ReadingColumns } from '../readings.js'

export interface SunSegment {
  readonly fromMs: number
  readonly toMs: number
  readonly state: SunState
}

export interface DaySun {
  readonly date: string
  readonly startMs: number
  readonly endMs: number
  /** null where the sun does not rise (or set) that day */
  readonly sunriseMs: number | null
  readonly sunsetMs: number | null
  /** time with the sun's upper edge above a level horizon, h */
  readonly daylightHours: number
  /** WMO sunshine (direct irradiance above 120 W/m²) as estimated from the bed's sensor; null: no light readings */
  readonly sunHours: number | null
  readonly possibleSunHours: number
  /** possible sun hours from `nowMs` to the end of the day */
  readonly stillPossibleHours: number
  /** part of the (elapsed) daylight that good readings account for, 0 to 1 */
  readonly coverage: number
  /** from the day's start to its end (or now), without holes: what is not known is `unknown` */
  readonly segments: readonly SunSegment[]
}

/** Light of the bed around the day (one reading of context each side helps); either may be empty. */
export interface LightReadings {
  /** global illuminance on the level, lx */
  readonly light: ReadingColumns
  /** global irradiance on the level, W/m²; preferred where both exist */
  readonly irradiance: ReadingColumns
}

export declare function daySun(day: LocalDay, readings: LightReadings, place: Place, nowMs: number): DaySun
