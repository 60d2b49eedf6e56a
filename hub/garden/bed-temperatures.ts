/**
 * Temperatures of a bed's days, and their degree days, without the sun. They come from the store's hourly roll-ups: years of
 * them are read in a moment, while day records wait until the sky of each month has been learned from its light.
 */
import type { Garden } from '../../shared/api/garden.js'
import { type LocalDay, localDays } from '../../shared/local-time.js'
import { measuredDegreeDays } from '../core/days/day-record.js'
import type { Thresholds } from '../core/heat/degree-days.js'
import type { WarmthDay } from '../core/heat/season-degree-days.js'
import { coverage } from '../core/quality/completeness.js'
import type { StepColumns } from '../store/port.js'
import type { BedSeries } from './bed-series.js'
import type { BedSegment } from './bed-timeline.js'
import type { TemperatureDay } from './measured.js'

export interface BedTemperatures {
  /** The same figures as in the day records of these dates, both included. */
  days(garden: Garden, bed: string, fromDate: string, toDate: string): Promise<TemperatureDay[]>
  /**
   * Degree days of days that are over, from the means of their hours: for a whole day within 0.05 °C·d of its record's; where
   * midnight cuts an hour of UTC, within 0.15, of which the next day has the rest.
   */
  warmth(
    garden: Garden,
    bed: string,
    fromDate: string,
    toDate: string,
    limits: Thresholds,
  ): Promise<WarmthDay[]>
}

const HOUR_MS = 3_600_000

export function createBedTemperatures(series: BedSeries, now: () => number): BedTemperatures {
  /** Figures of a quantity, day by day. */
  const byDay = async (
    garden: string,
    quantity: string,
    segments: readonly BedSegment[],
    days: readonly LocalDay[],
  ): Promise<DayFigures[]> => {
    const nowMs = now()
    const figures: DayFigures[] = []
    for (const run of equallyLong(days)) {
      const [first, last] = [run[0]!, run.at(-1)!]
      const stepMs = first.endMs - first.startMs
      const steps = await series.readSteps(garden, quantity, segments, first.startMs, last.endMs, stepMs)
      figures.push(...run.map((day, i) => figuresOf(day, steps, i, nowMs)))
    }
    return figures
  }

  return {
    async days(garden, bed, fromDate, toDate) {
      const days = localDays(fromDate, toDate, garden.timeZone)
      const [airSegments, soilSegments] = await series.segments(garden.id, bed, ['air-temp', 'soil-temp'])
      const [air, soil] = await Promise.all([
        byDay(garden.id, 'air-temp', airSegments!, days),
        byDay(garden.id, 'soil-temp', soilSegments!, days),
      ])
      return days.map(({ date }, i) => ({
        date,
        airTempMinC: air[i]!.minC,
        airTempMaxC: air[i]!.maxC,
        airTempMeanC: air[i]!.meanC,
        airCoverage: air[i]!.coverage,
        soilTempMeanC: soil[i]!.meanC,
        soilCoverage: soil[i]!.coverage,
      }))
    },

    async warmth(garden, bed, fromDate, toDate, limits) {
      const days = localDays(fromDate, toDate, garden.timeZone)
      const [segments] = await series.segments(garden.id, bed, ['air-temp'])
      // where midnight cuts an hour, the hour goes to the day in which it begins
      const fromMs = Math.ceil((days[0]?.startMs ?? 0) / HOUR_MS) * HOUR_MS
      const toMs = days.at(-1)?.endMs ?? 0
      const hours = await series.readSteps(garden.id, 'air-temp', segments!, fromMs, toMs, HOUR_MS)
      let next = 0
      return days.map(({ date, startMs, endMs }) => {
        const from = next
        while (next < hours.startMs.length && hours.startMs[next]! < endMs) next++
        const measured = Array.from({ length: next - from }, (_, i) => from + i).filter(
          (i) => hours.coveredMs[i]! > 0,
        )
        const coveredMs = Float64Array.from(measured, (i) => hours.coveredMs[i]!)
        const airCoverage = coverage(
          coveredMs.reduce((sum, ms) => sum + ms, 0),
          endMs - startMs,
        )
        const meanC = Float64Array.from(measured, (i) => hours.mean[i]!)
        return {
          date,
          degreeDaysC: measuredDegreeDays(meanC, coveredMs, airCoverage, 1, limits),
          airCoverage,
        }
      })
    },
  }
}

interface DayFigures {
  /** null: not measured */
  readonly minC: number | null
  readonly maxC: number | null
  readonly meanC: number | null
  readonly coverage: number
}

function figuresOf(
  { startMs, endMs }: LocalDay,
  { min, max, mean, coveredMs }: StepColumns,
  i: number,
  nowMs: number,
): DayFigures {
  const isMeasured = coveredMs[i]! > 0
  return {
    minC: isMeasured ? min[i]! : null,
    maxC: isMeasured ? max[i]! : null,
    meanC: isMeasured ? mean[i]! : null,
    coverage: coverage(coveredMs[i]!, Math.min(endMs, nowMs) - startMs),
  }
}

/** Days in order, cut where the clocks change: those of 23 and 25 hours stand alone. */
function equallyLong(days: readonly LocalDay[]): LocalDay[][] {
  const runs: LocalDay[][] = []
  for (const day of days) {
    const run = runs.at(-1)
    if (run && run[0]!.endMs - run[0]!.startMs === day.endMs - day.startMs) run.push(day)
    else runs.push([day])
  }
  return runs
}
