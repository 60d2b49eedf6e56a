/**
 * A season of one bed computed to day records: in the core alone, and from the store to the API's figures, against
 * the plainest pass over the same columns that gives a day's minimum, maximum and mean.
 */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { computeDayRecord, DEFAULT_DAY_OPTIONS } from '../../hub/core/days/day-record.js'
import { NO_READINGS, type ReadingColumns } from '../../hub/core/readings.js'
import { daySun } from '../../hub/core/sun/day-sun.js'
import { createBedMeasurements } from '../../hub/garden/bed-measurements.js'
import { openSqliteGarden } from '../../hub/garden/sqlite-garden.js'
import type { Reading } from '../../hub/store/port.js'
import { openSqliteStore } from '../../hub/store/sqlite/open-sqlite-store.js'
import { type LocalDay, localDays } from '../../shared/local-time.js'
import { type BenchRow, median } from './bench-row.js'
import { SEASON_DAYS, type Season } from './season.js'

const RUNS = 5
const CONTEXT_MS = 26 * 3_600_000

export async function seasonBench(season: Season): Promise<BenchRow[]> {
  const days = localDays(season.fromDate, season.toDate, season.timeZone)
  const readings = season.airTemp.timeMs.length * 3
  const plainS = await medianSeconds(() => plainPass(season, days))
  const coreS = await medianSeconds(() => corePass(season, days))
  const wholeS = await wholeSeconds(season)
  const yardstick = `${SEASON_DAYS} days × 3 quantities, plain minimum, maximum and mean in memory`
  return [
    { name: yardstick, value: readings / plainS, unit: 'readings/s', ratioTo: null },
    {
      name: 'the same to day records and sun states, core alone',
      value: readings / coreS,
      unit: 'readings/s',
      ratioTo: yardstick,
    },
    {
      name: 'the same from the store to the API’s figures, nothing cached',
      value: readings / wholeS,
      unit: 'readings/s',
      ratioTo: yardstick,
    },
  ]
}

async function medianSeconds(pass: () => unknown): Promise<number> {
  const times: number[] = []
  for (let run = 0; run <= RUNS; run++) {
    const startedAt = performance.now()
    await pass()
    // the first run warms up
    if (run > 0) times.push((performance.now() - startedAt) / 1000)
  }
  return median(times)
}

function plainPass({ airTemp, soilTemp, light }: Season, days: readonly LocalDay[]): number[] {
  const figures: number[] = []
  for (const { timeMs, value } of [airTemp, soilTemp, light]) {
    let i = 0
    for (const { endMs } of days) {
      let min = Number.POSITIVE_INFINITY
      let max = Number.NEGATIVE_INFINITY
      let sum = 0
      const from = i
      for (; i < timeMs.length && timeMs[i]! < endMs; i++) {
        const v = value[i]!
        if (v < min) min = v
        if (v > max) max = v
        sum += v
      }
      figures.push(min, max, sum / (i - from))
    }
  }
  return figures
}

function corePass(season: Season, days: readonly LocalDay[]): number {
  let degreeDays = 0
  for (const day of days) {
    const readings = {
      airTemp: around(season.airTemp, day),
      soilTemp: around(season.soilTemp, day),
      light: around(season.light, day),
      irradiance: NO_READINGS,
    }
    const sun = daySun(day, readings, season.place, season.endMs)
    degreeDays += computeDayRecord(day, readings, sun, season.endMs, DEFAULT_DAY_OPTIONS).degreeDaysC ?? 0
  }
  return degreeDays
}

function around(columns: ReadingColumns, day: LocalDay): ReadingColumns {
  // a reading every minute: positions follow from times
  const startMs = columns.timeMs[0]!
  const at = (timeMs: number): number => Math.max(0, Math.round((timeMs - startMs) / 60_000))
  const [from, to] = [at(day.startMs - CONTEXT_MS), at(day.endMs + CONTEXT_MS)]
  return {
    timeMs: columns.timeMs.subarray(from, to),
    value: columns.value.subarray(from, to),
    flags: columns.flags.subarray(from, to),
  }
}

async function wholeSeconds(season: Season): Promise<number> {
  const dataDir = await mkdtemp(join(tmpdir(), 'hearting-bench-'))
  const store = await openSqliteStore({ dataDir })
  const garden = await openSqliteGarden({ dataDir })
  try {
    const place = { name: 'Bench', ...season.place, timeZone: season.timeZone }
    await garden.putGarden('home', place)
    await garden.putBed('home', 'bed', { name: 'Bed', kind: 'raised', lengthM: 1, widthM: 1, depthM: null })
    await garden.putNode('home', 'node', { name: 'Node' })
    await garden.addPlacement('home', { node: 'node', bed: 'bed', fromMs: 0, toMs: null })
    for (const batch of batches(season)) await store.append(batch, season.endMs)
    const measurements = createBedMeasurements({ store, garden, now: () => season.endMs + 7 * 86_400_000 })
    // an option of our own: such records are never kept, so every run computes them all
    const options = { baseC: 4.5 }
    return await medianSeconds(() =>
      measurements.days('home', 'bed', season.fromDate, season.toDate, options),
    )
  } finally {
    await store.close()
    await garden.close()
    await rm(dataDir, { recursive: true, force: true })
  }
}

function* batches(season: Season): Generator<Reading[]> {
  const columns = { 'air-temp': season.airTemp, 'soil-temp': season.soilTemp, light: season.light }
  for (const [quantity, { timeMs, value }] of Object.entries(columns)) {
    for (let from = 0; from < timeMs.length; from += 5_000) {
      const count = Math.min(5_000, timeMs.length - from)
      yield Array.from({ length: count }, (_, i) => ({
        garden: 'home',
        node: 'node',
        quantity,
        timeMs: timeMs[from + i]!,
        value: value[from + i]!,
        flags: 0,
      }))
    }
  }
}
