/** The reading side of the store, and the forwarding: what the thread between spool and InfluxDB does. */
import { FLAG } from '../../../shared/quality-flags.js'
import type { ReadingColumns } from '../../core/readings.js'
import {
  type LatestReading,
  type SeriesKey,
  type SeriesSummary,
  type StepColumns,
  StoreError,
} from '../port.js'
import { asStoreError } from '../sqlite/store-errors.js'
import { StepSums } from '../steps.js'
import type { StoredRows } from '../stored-rows.js'
import { HOUR_MS } from '../weighted-readings.js'
import { figuresOfHours } from './day-figures.js'
import { createForwarder, type ForwardingState } from './forwarder.js'
import { connectInflux, type InfluxSettings } from './influx-database.js'
import { InfluxError } from './influx-error.js'
import { createJoinedReader } from './joined-reader.js'
import { createSpool, type SpoolSeries } from './spool.js'
import { NEVER_COMPLETE_MS, openSpool } from './spool-schema.js'
import type { WaitingCount } from './waiting-count.js'

const DAY_MS = 86_400_000
const TIDY_EVERY_MS = 10 * 60_000

export interface SpooledReader {
  readRange(series: SeriesKey, fromMs: number, toMs: number): Promise<ReadingColumns>
  readStored(series: SeriesKey, fromMs: number, toMs: number): Promise<StoredRows>
  countRange(series: SeriesKey, fromMs: number, toMs: number): Promise<number>
  readSteps(series: SeriesKey, fromMs: number, toMs: number, stepMs: number): Promise<StepColumns>
  listGardens(): Promise<string[]>
  latest(garden: string): Promise<LatestReading[]>
  listSeries(garden: string): Promise<SeriesSummary[]>
  deleteRange(series: SeriesKey, fromMs: number, toMs: number): Promise<number>
  nudge(): void
  forwarding(): ForwardingState
  /** Resolves when all that was appended is in InfluxDB. */
  flush(): Promise<void>
  /** Tidies away what the spool need not keep at this time. */
  tidy(nowMs: number): number
  close(): Promise<void>
}

export interface SpooledReaderOptions {
  readonly file: string
  readonly influx: InfluxSettings
  readonly waiting: WaitingCount
  /** days whose readings stay in the spool too; 0: nothing that InfluxDB has */
  readonly keepDays: number
}

export function openSpooledReader({ file, influx, waiting, keepDays }: SpooledReaderOptions): SpooledReader {
  const db = openSpool(file, 'until retold')
  const spool = createSpool(db)
  const database = connectInflux(influx)
  const reader = createJoinedReader(spool, database)
  const forwarder = createForwarder({ spool, database, waiting, keepsNothing: keepDays === 0 })

  const tidy = (nowMs: number): number =>
    spool.tidy(keepDays === 0 ? NEVER_COMPLETE_MS : nowMs - keepDays * DAY_MS)
  const tidying = setInterval(() => {
    try {
      tidy(Date.now())
    } catch (error) {
      // what could not be tidied away now (a full disk, a long read) is when the next turn comes
      if (!(asStoreError(error) instanceof StoreError)) throw error
    }
  }, TIDY_EVERY_MS)

  /** Errors leave this thread in the words of the store port. */
  const speaking =
    <A extends unknown[], R>(work: (...args: A) => R | Promise<R>) =>
    async (...args: A): Promise<R> => {
      try {
        return await work(...args)
      } catch (error) {
        throw error instanceof InfluxError ? error.asStoreError() : asStoreError(error)
      }
    }
  /** What InfluxDB had before must be known before anything is said of what there is. */
  const known =
    <A extends unknown[], R>(read: (...args: A) => R | Promise<R>) =>
    async (...args: A): Promise<R> => {
      if (!spool.isJoined()) await forwarder.flush()
      return read(...args)
    }
  const withSeries = async <T>(
    key: SeriesKey,
    none: T,
    read: (series: SpoolSeries) => Promise<T>,
  ): Promise<T> => {
    const series = spool.find(key)
    return series ? read(series) : none
  }

  async function readSteps(
    key: SeriesKey,
    fromMs: number,
    toMs: number,
    stepMs: number,
  ): Promise<StepColumns> {
    const sums = new StepSums(fromMs, toMs, stepMs)
    const series = spool.find(key)
    const bounds = spool.bounds(key)
    if (!series || !bounds || sums.length === 0) return sums.finish()
    const from = Math.max(fromMs, bounds.firstMs)
    const to = Math.min(toMs, bounds.lastMs + 1)
    if (from >= to) return sums.finish()
    if (stepMs % HOUR_MS !== 0 || fromMs % HOUR_MS !== 0 || toMs % HOUR_MS !== 0) {
      const readings = await reader.weighted(series, { fromMs: from, toMs: to })
      sums.addReadings(readings, readings.weightMs, 0, readings.timeMs.length)
      return sums.finish()
    }
    const figures = await figuresOfHours(
      spool,
      reader,
      series,
      Math.floor(from / HOUR_MS) * HOUR_MS,
      Math.ceil(to / HOUR_MS) * HOUR_MS,
    )
    for (const { hour, min, max, weighted, coveredMs, good } of figures)
      sums.add(sums.stepOf(hour * HOUR_MS), min, max, weighted, coveredMs, good)
    return sums.finish()
  }

  const deleteRange = (key: SeriesKey, fromMs: number, toMs: number): Promise<number> =>
    forwarder.exclusively(() =>
      withSeries(key, 0, async (series) => {
        const span = { fromMs, toMs }
        const { remoteFirstMs: firstMs, remoteLastMs: lastMs } = series
        const isThere = firstMs !== null && lastMs !== null && fromMs <= lastMs && toMs > firstMs
        const deleted = await reader.count(series, span)
        let removedThere = 0
        let left = firstMs === null || lastMs === null ? null : { firstMs, lastMs }
        if (isThere) {
          removedThere = await database.count(series, span)
          await database.remove(series, span)
          left = await database.extent(series)
        }
        const newest = isThere && left ? await database.newest(series, FLAG.clock) : noRows()
        waiting.add(-spool.remove(series, span, removedThere, left, newest).unsent)
        return deleted
      }),
    )

  return {
    readRange: speaking(
      known((key: SeriesKey, fromMs: number, toMs: number) =>
        withSeries(key, noColumns(), (series) => reader.flagged(series, { fromMs, toMs })),
      ),
    ),
    readStored: speaking(
      known((key: SeriesKey, fromMs: number, toMs: number) =>
        withSeries(key, noRows(), (series) => reader.stored(series, { fromMs, toMs })),
      ),
    ),
    countRange: speaking(
      known((key: SeriesKey, fromMs: number, toMs: number) =>
        withSeries(key, 0, (series) => reader.count(series, { fromMs, toMs })),
      ),
    ),
    readSteps: speaking(known(readSteps)),
    listGardens: speaking(known(() => spool.listGardens())),
    latest: speaking(known((garden: string) => spool.latest(garden))),
    listSeries: speaking(known((garden: string) => spool.listSeries(garden))),
    deleteRange: speaking(known(deleteRange)),
    nudge: forwarder.nudge,
    forwarding: forwarder.state,
    flush: speaking(forwarder.flush),
    tidy,
    async close() {
      clearInterval(tidying)
      await forwarder.close()
      db.close()
    },
  }
}

/** New each time: the answer's buffers move to the caller's thread. */
const noColumns = (): ReadingColumns => ({
  timeMs: new Float64Array(0),
  value: new Float64Array(0),
  flags: new Uint16Array(0),
})

const noRows = (): StoredRows => ({ ...noColumns(), delayMs: new Float64Array(0) })
