/** Computes day records of a bed from its readings, a month of them in memory at a time, and keeps settled ones. */
import { createHash } from 'node:crypto'
import { setImmediate } from 'node:timers/promises'
import type { Garden } from '../../shared/api/garden.js'
import type { DayRecord } from '../../shared/api/measurements.js'
import { type LocalDay, localDays } from '../../shared/local-time.js'
import {
  computeDayRecord,
  DAY_RECORD_VERSION,
  type DayOptions,
  type DayReadings,
} from '../core/days/day-record.js'
import { contextMs } from '../core/quality/context-checks.js'
import type { ReadingColumns } from '../core/readings.js'
import type { LightReadings } from '../core/sun/bed-light.js'
import { type PlacedContext, placedDaySun } from '../core/sun/placed-day.js'
import type { AppendLedger, NodeSpan } from './append-ledger.js'
import type { BedSeries } from './bed-series.js'
import { type BedSegment, segmentsWithin } from './bed-timeline.js'
import { optionsText } from './crop-days.js'
import { DAY_QUANTITIES, SETTLED_MS } from './day-influence.js'
import { monthOf } from './learning-window.js'
import type { DayComputation, GardenRepository } from './port.js'
import type { SunLearning } from './sun-learning.js'

/** A month of minutes of four quantities is some 3 MB. */
const CHUNK_DAYS = 31

interface ComputedDay {
  readonly day: LocalDay
  readonly record: DayRecord
  /** what there was, or would be, to read on that day; empty where no node stood in the bed */
  readonly restsOn: readonly NodeSpan[]
}

export interface BedDays {
  /** Records of the dates given, both included. `keep`: put settled ones into the cache. */
  compute(
    garden: Garden,
    bed: string,
    fromDate: string,
    toDate: string,
    options: DayOptions,
    keep: boolean,
  ): Promise<DayRecord[]>
  /** Light readings around one day, in the window that a day record rests on. */
  readLight(garden: Garden, bed: string, day: LocalDay): Promise<LightReadings>
}

export function createBedDays(deps: {
  readonly series: BedSeries
  readonly garden: GardenRepository
  readonly ledger: AppendLedger
  readonly learning: SunLearning
  readonly now: () => number
  /** told, before it happens, that records of days that ended by then go into the cache */
  readonly onKeep: (garden: string, lastEndMs: number) => void
}): BedDays {
  const { series, garden: repository, ledger, learning, now, onKeep } = deps

  const readWindows = async (
    garden: string,
    segments: readonly (readonly BedSegment[])[],
    fromMs: number,
    toMs: number,
  ): Promise<DayReadings> => {
    const [airTemp, soilTemp, light, irradiance] = await Promise.all(
      DAY_QUANTITIES.map(({ quantity, windowMs }, i) =>
        series.readRange(garden, quantity, segments[i]!, fromMs - windowMs, toMs + windowMs),
      ),
    )
    return { airTemp: airTemp!, soilTemp: soilTemp!, light: light!, irradiance: irradiance! }
  }

  const segmentsOf = (garden: string, bed: string): Promise<BedSegment[][]> =>
    series.segments(
      garden,
      bed,
      DAY_QUANTITIES.map((q) => q.quantity),
    )

  const computeChunk = async (
    garden: Garden,
    segments: readonly (readonly BedSegment[])[],
    placed: readonly PlacedContext[],
    days: readonly LocalDay[],
    options: DayOptions,
  ): Promise<ComputedDay[]> => {
    const chunk = await readWindows(garden.id, segments, days[0]!.startMs, days.at(-1)!.endMs)
    const computed: ComputedDay[] = []
    for (const day of days) {
      const nowMs = now()
      const readings = windowsOf(chunk, day)
      const sun = placedDaySun(day, readings, garden, nowMs, placed)
      computed.push({
        day,
        record: computeDayRecord(day, readings, sun, nowMs, options),
        restsOn: restsOn(segments, day),
      })
      // other work gets its turn between two days
      await setImmediate()
    }
    return computed
  }

  /** Computes days that lie one after the other, a chunk at a time. */
  const computeRun = async (
    garden: Garden,
    bed: string,
    days: readonly LocalDay[],
    segments: readonly (readonly BedSegment[])[],
    placed: readonly PlacedContext[],
    options: DayOptions,
    keepAs: DayComputation | null,
  ): Promise<DayRecord[]> => {
    const records: DayRecord[] = []
    for (let i = 0; i < days.length; i += CHUNK_DAYS) {
      const part = days.slice(i, i + CHUNK_DAYS)
      const settledBeforeMs = now() - SETTLED_MS
      const computation = ledger.beginComputation()
      try {
        const computed = await computeChunk(garden, segments, placed, part, options)
        records.push(...computed.map((c) => c.record))
        if (!keepAs) continue
        const kept = computed.filter(
          ({ day, restsOn }) =>
            // a winter without readings is kept too, or each look back would count it anew
            restsOn.length > 0 &&
            day.endMs <= settledBeforeMs &&
            !computation.isOvertaken(garden.id, restsOn),
        )
        if (kept.length === 0) continue
        onKeep(garden.id, kept.at(-1)!.day.endMs)
        // nothing may come between the look at the ledger and this call: the database's thread keeps the order
        await repository.cacheDays(
          garden.id,
          bed,
          keepAs,
          kept.map((c) => c.record),
        )
      } finally {
        computation.end()
      }
    }
    return records
  }

  /** Days of one month: they are judged with what was learned for it. */
  const computeMonth = async (
    garden: Garden,
    bed: string,
    days: readonly LocalDay[],
    segments: readonly (readonly BedSegment[])[],
    options: DayOptions,
    keep: boolean,
  ): Promise<DayRecord[]> => {
    const [from, to] = [days[0]!.date, days.at(-1)!.date]
    const { placed, basis } = await learning.skyOf(garden, bed, monthOf(from))
    const key = computationKey(garden, segments, basis, options)
    const cached = new Map<string, DayRecord>()
    if (keep) {
      for (const record of await repository.cachedDays(garden.id, bed, from, to, key)) {
        cached.set(record.date, record)
      }
    }
    const records: DayRecord[] = []
    let missing: LocalDay[] = []
    const fill = async (): Promise<void> => {
      if (missing.length === 0) return
      const run = missing
      missing = []
      records.push(...(await computeRun(garden, bed, run, segments, placed, options, keep ? key : null)))
    }
    for (const day of days) {
      const known = cached.get(day.date)
      if (known) {
        await fill()
        records.push(known)
      } else missing.push(day)
    }
    await fill()
    return records
  }

  return {
    async compute(garden, bed, fromDate, toDate, options, keep) {
      const segments = await segmentsOf(garden.id, bed)
      const records: DayRecord[] = []
      for (const days of byMonth(localDays(fromDate, toDate, garden.timeZone))) {
        records.push(...(await computeMonth(garden, bed, days, segments, options, keep)))
      }
      return records
    },

    async readLight(garden, bed, day) {
      const wanted = DAY_QUANTITIES.filter((q) => q.quantity === 'light' || q.quantity === 'irradiance')
      const segments = await series.segments(
        garden.id,
        bed,
        wanted.map((q) => q.quantity),
      )
      const [light, irradiance] = await Promise.all(
        wanted.map(({ quantity, windowMs }, i) =>
          series.readRange(garden.id, quantity, segments[i]!, day.startMs - windowMs, day.endMs + windowMs),
        ),
      )
      return { light: light!, irradiance: irradiance! }
    },
  }
}

/** Days in order, cut where a month ends. */
export function byMonth(days: readonly LocalDay[]): LocalDay[][] {
  const months: LocalDay[][] = []
  for (const day of days) {
    const last = months.at(-1)
    if (last && monthOf(last[0]!.date) === monthOf(day.date)) last.push(day)
    else months.push([day])
  }
  return months
}

/**
 * Everything but the readings that a record follows from. So a record computed with a placement or a place that
 * changed meanwhile is never taken for a current one, whatever fails when.
 */
function computationKey(
  { latitudeDeg, longitudeDeg, elevationM, timeZone }: Garden,
  segments: readonly (readonly BedSegment[])[],
  judgedWith: string,
  options: DayOptions,
): DayComputation {
  const place = [latitudeDeg, longitudeDeg, elevationM, timeZone]
  const nodes = segments.map((ofQuantity) =>
    ofQuantity.map((s) => [s.node, s.fromMs, Number.isFinite(s.toMs) ? s.toMs : null]),
  )
  const basis = JSON.stringify([place, nodes, judgedWith])
  return {
    version: DAY_RECORD_VERSION,
    options: optionsText(options),
    basis: createHash('sha256').update(basis).digest('base64url').slice(0, 22),
  }
}

/** The parts of a chunk's readings that belong to one day. The same whatever the chunk: records must not depend on it. */
function windowsOf(chunk: DayReadings, day: LocalDay): DayReadings {
  const [air, soil, light, irradiance] = DAY_QUANTITIES.map(({ windowMs }) => windowMs)
  return {
    airTemp: within(chunk.airTemp, day, air!),
    soilTemp: within(chunk.soilTemp, day, soil!),
    light: within(chunk.light, day, light!),
    irradiance: within(chunk.irradiance, day, irradiance!),
  }
}

/** Readings of a day and of windowMs around it; views, not copies. */
export function within(
  { timeMs, value, flags }: ReadingColumns,
  day: LocalDay,
  windowMs: number,
): ReadingColumns {
  const from = firstAtOrAfter(timeMs, day.startMs - windowMs)
  const to = firstAtOrAfter(timeMs, day.endMs + windowMs)
  return {
    timeMs: timeMs.subarray(from, to),
    value: value.subarray(from, to),
    flags: flags.subarray(from, to),
  }
}

function firstAtOrAfter(timeMs: Float64Array, ms: number): number {
  let low = 0
  let high = timeMs.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (timeMs[middle]! < ms) low = middle + 1
    else high = middle
  }
  return low
}

/** Readings of nodes that a day's record rests on: those in its windows, and those that bear on their flags. */
function restsOn(segments: readonly (readonly BedSegment[])[], day: LocalDay): NodeSpan[] {
  return DAY_QUANTITIES.flatMap(({ quantity, windowMs }, i) =>
    segmentsWithin(segments[i]!, day.startMs - windowMs, day.endMs + windowMs).map((s) => ({
      node: s.node,
      fromMs: s.fromMs - contextMs(quantity),
      toMs: s.toMs + contextMs(quantity),
    })),
  )
}
