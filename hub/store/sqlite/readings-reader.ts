/** The reading side of the readings database; every answer comes from one snapshot. */
import type Database from 'better-sqlite3'
import { FLAG } from '../../../shared/quality-flags.js'
import type { ReadingColumns } from '../../core/readings.js'
import type { LatestReading, SeriesKey, SeriesSummary, StepColumns } from '../port.js'
import { StepSums } from '../steps.js'
import { emptyRows, type StoredRows } from '../stored-rows.js'
import { HOUR_MS, reachHours } from '../weighted-readings.js'
import { type HourFigures, type HourSpan, hourFigures, staleSpans } from './hour-rollups.js'
import { createRawReader } from './raw-readings.js'
import { openForReading } from './readings-schema.js'
import { asStoreError } from './store-errors.js'

export interface ReadingsReader {
  readRange(series: SeriesKey, fromMs: number, toMs: number): ReadingColumns
  countRange(series: SeriesKey, fromMs: number, toMs: number): number
  readSteps(series: SeriesKey, fromMs: number, toMs: number, stepMs: number): StepColumns
  /** as stored: flags of arrival only */
  readStored(series: SeriesKey, fromMs: number, toMs: number): StoredRows
  listGardens(): string[]
  latest(garden: string): LatestReading[]
  listSeries(garden: string): SeriesSummary[]
  close(): void
}

type HourRow = [
  hour: number,
  min: number | null,
  max: number | null,
  weighted: number,
  coveredMs: number,
  good: number,
  readings: number,
]

export function openReadingsReader(file: string): ReadingsReader {
  const db = openForReading(file)
  const raw = createRawReader(db)
  const findSeries = db
    .prepare<[string, string, string], number>(
      'SELECT id FROM series WHERE garden = ? AND node = ? AND quantity = ?',
    )
    .pluck()
  const firstTime = db
    .prepare<[number], number | null>('SELECT min(time_ms) FROM reading WHERE series_id = ?')
    .pluck()
  const lastTime = db
    .prepare<[number], number | null>('SELECT max(time_ms) FROM reading WHERE series_id = ?')
    .pluck()
  const countRaw = db
    .prepare<[number, number, number], number>(
      'SELECT count(*) FROM reading WHERE series_id = ? AND time_ms >= ? AND time_ms < ?',
    )
    .pluck()
  const countHours = db
    .prepare<[number, number, number], number>(
      'SELECT coalesce(sum(readings), 0) FROM hour_rollup WHERE series_id = ? AND hour >= ? AND hour <= ?',
    )
    .pluck()
  const touchedHours = db
    .prepare<[number, number, number], number>(
      'SELECT hour FROM touched_hour WHERE series_id = ? AND hour >= ? AND hour <= ? ORDER BY hour',
    )
    .pluck()
  const hourRows = db
    .prepare<[number, number, number], HourRow>(
      `SELECT hour, min, max, weighted, covered_ms, good, readings
       FROM hour_rollup WHERE series_id = ? AND hour >= ? AND hour <= ? ORDER BY hour`,
    )
    .raw()
  const seriesOfGarden = db.prepare<
    [string],
    { id: number; node: string; quantity: string; readings: number }
  >(
    'SELECT id, node, quantity, readings FROM series WHERE garden = ? AND readings > 0 ORDER BY node, quantity',
  )
  // a wrong clock in the future must not hide what the node says now
  const newest = db.prepare<[number], { timeMs: number; value: number; flags: number; receivedAtMs: number }>(
    `SELECT time_ms AS timeMs, value, flags, time_ms + delay_ms AS receivedAtMs FROM reading
     WHERE series_id = ? AND (flags & ${FLAG.clock}) = 0 ORDER BY time_ms DESC LIMIT 1`,
  )

  const storedRows = db
    .prepare<[number, number, number], [timeMs: number, value: number, flags: number, delayMs: number]>(
      `SELECT time_ms, value, flags, delay_ms FROM reading
       WHERE series_id = ? AND time_ms >= ? AND time_ms < ? ORDER BY time_ms`,
    )
    .raw()
  const gardens = db
    .prepare<[], string>('SELECT DISTINCT garden FROM series WHERE readings > 0 ORDER BY garden')
    .pluck()

  const idOf = (series: SeriesKey): number | undefined =>
    findSeries.get(series.garden, series.node, series.quantity)

  /** Hours of a span that are not rolled up: their own or a neighbour's readings changed since. */
  function staleIn(id: number, quantity: string, span: HourSpan): HourSpan[] {
    const reach = reachHours(quantity)
    return staleSpans(touchedHours.all(id, span.first - reach, span.last + reach), reach, span)
  }

  function addFresh(id: number, span: HourSpan, add: (figures: HourFigures) => void): void {
    for (const [hour, min, max, weighted, coveredMs, good, readings] of hourRows.all(
      id,
      span.first,
      span.last,
    )) {
      add({
        hour,
        min: min ?? Number.POSITIVE_INFINITY,
        max: max ?? Number.NEGATIVE_INFINITY,
        weighted,
        coveredMs,
        good,
        readings,
      })
    }
  }

  function readSteps(series: SeriesKey, fromMs: number, toMs: number, stepMs: number): StepColumns {
    const sums = new StepSums(fromMs, toMs, stepMs)
    const id = idOf(series)
    const first = id === undefined ? null : (firstTime.get(id) ?? null)
    if (id === undefined || first === null || sums.length === 0) return sums.finish()
    // beyond the readings there is nothing to add
    const from = Math.max(fromMs, first)
    const to = Math.min(toMs, lastTime.get(id)! + 1)
    if (from >= to) return sums.finish()

    const addRaw = (rawFromMs: number, rawToMs: number): void => {
      const start = Math.max(from, rawFromMs)
      const end = Math.min(to, rawToMs)
      if (start >= end) return
      const readings = raw.readWeighted(id, series.quantity, start, end)
      sums.addReadings(readings, readings.weightMs, 0, readings.timeMs.length)
    }
    // where every step's edge cuts an hour, nearly all readings would be read piece by piece: read them at once
    const cutsHours = fromMs % HOUR_MS !== 0 || stepMs % HOUR_MS !== 0
    if (stepMs < HOUR_MS || (cutsHours && stepMs < 2 * reachHours(series.quantity) * HOUR_MS)) {
      addRaw(from, to)
      return sums.finish()
    }

    const span = { first: Math.floor(from / HOUR_MS), last: Math.floor((to - 1) / HOUR_MS) }
    // an hour that a step's edge cuts is shared out reading by reading; the others go in whole
    const add = (figures: HourFigures): void => {
      const startMs = figures.hour * HOUR_MS
      const step = sums.stepOf(startMs)
      if (startMs < fromMs || startMs + HOUR_MS > toMs || sums.stepOf(startMs + HOUR_MS - 1) !== step)
        addRaw(startMs, startMs + HOUR_MS)
      else sums.add(step, figures.min, figures.max, figures.weighted, figures.coveredMs, figures.good)
    }
    let next = span.first
    for (const stale of staleIn(id, series.quantity, span)) {
      if (stale.first > next) addFresh(id, { first: next, last: stale.first - 1 }, add)
      const readings = raw.readWeighted(
        id,
        series.quantity,
        stale.first * HOUR_MS,
        (stale.last + 1) * HOUR_MS,
      )
      for (const figures of hourFigures(readings)) add(figures)
      next = stale.last + 1
    }
    if (next <= span.last) addFresh(id, { first: next, last: span.last }, add)
    return sums.finish()
  }

  function countRange(series: SeriesKey, fromMs: number, toMs: number): number {
    const id = idOf(series)
    const first = id === undefined ? null : (firstTime.get(id) ?? null)
    if (id === undefined || first === null) return 0
    const from = Math.max(fromMs, first)
    const to = Math.min(toMs, lastTime.get(id)! + 1)
    if (from >= to) return 0
    const span = { first: Math.ceil(from / HOUR_MS), last: Math.floor(to / HOUR_MS) - 1 }
    if (span.first > span.last) return countRaw.get(id, from, to)!
    let count = countRaw.get(id, from, span.first * HOUR_MS)!
    let next = span.first
    for (const stale of staleIn(id, series.quantity, span)) {
      if (stale.first > next) count += countHours.get(id, next, stale.first - 1)!
      count += countRaw.get(id, stale.first * HOUR_MS, (stale.last + 1) * HOUR_MS)!
      next = stale.last + 1
    }
    if (next <= span.last) count += countHours.get(id, next, span.last)!
    return count + countRaw.get(id, (span.last + 1) * HOUR_MS, to)!
  }

  const snapshot = <A extends unknown[], R>(read: (...args: A) => R): ((...args: A) => R) => {
    const inTransaction = db.transaction(read as (...args: unknown[]) => unknown)
    return (...args) => {
      try {
        return inTransaction(...args) as R
      } catch (error) {
        throw asStoreError(error)
      }
    }
  }

  return {
    readRange: snapshot((series: SeriesKey, fromMs: number, toMs: number) => {
      const id = idOf(series)
      return id === undefined ? noReadings() : raw.read(id, series.quantity, fromMs, toMs)
    }),
    countRange: snapshot(countRange),
    readSteps: snapshot(readSteps),
    readStored: snapshot((series: SeriesKey, fromMs: number, toMs: number) => {
      const id = idOf(series)
      const found = id === undefined ? [] : storedRows.all(id, fromMs, toMs)
      const rows = emptyRows(found.length)
      for (const [i, [timeMs, value, flags, delayMs]] of found.entries()) {
        rows.timeMs[i] = timeMs
        rows.value[i] = value
        rows.flags[i] = flags
        rows.delayMs[i] = delayMs
      }
      return rows
    }),
    listGardens: snapshot(() => gardens.all()),
    latest: snapshot((garden: string) => {
      const found: LatestReading[] = []
      for (const { id, node, quantity } of seriesOfGarden.all(garden)) {
        const reading = newest.get(id)
        if (reading) found.push({ garden, node, quantity, ...reading })
      }
      return found
    }),
    listSeries: snapshot((garden: string) =>
      seriesOfGarden.all(garden).map(({ id, node, quantity, readings }) => ({
        garden,
        node,
        quantity,
        count: readings,
        firstMs: firstTime.get(id)!,
        lastMs: lastTime.get(id)!,
      })),
    ),
    close: () => closeQuietly(db),
  }
}

/** New each time: the answer's buffers move to the caller's thread. */
const noReadings = (): ReadingColumns => ({
  timeMs: new Float64Array(0),
  value: new Float64Array(0),
  flags: new Uint16Array(0),
})

function closeQuietly(db: Database.Database): void {
  if (db.open) db.close()
}
