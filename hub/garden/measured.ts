/**
 * What was measured and computed for a bed: readings joined over its placements, day records, sun of a day.
 * The one way in which API and warnings get at figures. Implemented by bed-measurements.ts.
 */
import type { Garden, Planting } from '../../shared/api/garden.js'
import type { BedToday, DayRecord, PlantingProgress } from '../../shared/api/measurements.js'
import type { PlantingReport } from '../../shared/api/progress.js'
import type { CarpetDay } from '../../shared/api/sun.js'
import type { DayOptions } from '../core/days/day-record.js'
import type { ReadingColumns } from '../core/readings.js'
import type { DaySun } from '../core/sun/day-sun.js'
import type { LatestReading, Reading, StepColumns } from '../store/port.js'
import type { PlantingSeason } from './planting-season.js'
import type { BedSky } from './skies.js'

/** What a day record says of temperatures. */
export type TemperatureDay = Pick<
  DayRecord,
  'date' | 'airTempMinC' | 'airTempMaxC' | 'airTempMeanC' | 'airCoverage' | 'soilTempMeanC' | 'soilCoverage'
>

export interface BedMeasurements {
  /** quantities that the bed's nodes have sent while they stood in it */
  quantities(garden: string, bed: string): Promise<string[]>
  readRange(
    garden: string,
    bed: string,
    quantity: string,
    fromMs: number,
    toMs: number,
  ): Promise<ReadingColumns>
  countRange(garden: string, bed: string, quantity: string, fromMs: number, toMs: number): Promise<number>
  readSteps(
    garden: string,
    bed: string,
    quantity: string,
    fromMs: number,
    toMs: number,
    stepMs: number,
  ): Promise<StepColumns>
  /** newest reading of each quantity from the nodes that stand in the bed now */
  latest(garden: string, bed: string): Promise<LatestReading[]>
  /** one record a local day, both dates included; cached when the options are the default or a crop's */
  days(
    garden: string,
    bed: string,
    fromDate: string,
    toDate: string,
    options?: Partial<DayOptions>,
  ): Promise<DayRecord[]>
  /** temperatures alone of these days, both dates included: years of them take no time (bed-temperatures.ts) */
  temperatures(garden: string, bed: string, fromDate: string, toDate: string): Promise<TemperatureDay[]>
  sun(garden: string, bed: string, date: string): Promise<DaySun>
  /** what the sun of a date is judged with: learned from the bed's light, and drawn */
  sky(garden: string, bed: string, date: string): Promise<BedSky>
  /** sun states of whole days in minutes, both dates included; kept like day records */
  carpet(garden: string, bed: string, fromDate: string, toDate: string): Promise<CarpetDay[]>
  /** days, stages and doses of a planting, up to now or to when it was finished */
  season(garden: string, planting: Planting): Promise<PlantingSeason>
  /** all that is told of a planting: its season so far, and how it may go on */
  report(garden: string, planting: Planting): Promise<PlantingReport>
  /** degree days and stage of a planting, up to now or to when it was finished */
  progress(garden: string, planting: Planting): Promise<PlantingProgress>
  /** Wraps the store's append so that cached days touched by late readings are forgotten, whatever fails when. */
  appendAndForget(
    readings: readonly Reading[],
    append: () => Promise<{ stored: number; repeated: number }>,
  ): Promise<{ stored: number; repeated: number }>
  /** Garden, bed or placement changed: what is cached for it is no longer true. */
  forget(garden: string, bed?: string): Promise<void>
}

/** One bed today. */
export interface BedFigures {
  readonly bed: string
  readonly sun: DaySun
  readonly day: DayRecord
  readonly latest: readonly LatestReading[]
  /** the plantings that stand in the bed, with their stage */
  readonly plantings: BedToday['plantings']
}

export interface GardenFigures {
  readonly garden: Garden
  readonly nowMs: number
  readonly date: string
  /** the sun's path over the garden, without readings */
  readonly sunPath: DaySun
  readonly beds: readonly BedFigures[]
}

/** All beds of a garden as they are today, kept ready. Implemented by today.ts. */
export interface TodayFigures {
  /** @throws GardenError  UNKNOWN_GARDEN */
  today(garden: string): Promise<GardenFigures>
  /** Readings were stored: beds where their nodes stand are computed again when next asked for. */
  readingsStored(readings: readonly Reading[]): void
  /** Garden data changed. */
  gardenChanged(garden: string): void
}
