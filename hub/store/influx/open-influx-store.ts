/**
 * The InfluxDB store (the 1.x API), for those who keep such a database already. Readings are acknowledged when they
 * are on disk in the spool in front of it, and forwarded from there; a database that is slow, down or full costs
 * nothing but room. Reads join what InfluxDB has with what waits. Two threads, so that neither a slow disk nor a slow
 * network holds up MQTT and HTTP. What belongs here: this adapter. May import the port, core, shared, hub/sqlite,
 * hub/worker and what stores share.
 */
import { join } from 'node:path'
import { type RemoteHandle, startRemote } from '../../worker/remote.js'
import { type SeriesKey, StoreError } from '../port.js'
import { encodeBatch, encodeRows } from '../sqlite/reading-batch.js'
import { reviveStoreError } from '../store-thread-errors.js'
import type { CopyableStore } from '../stored-rows.js'
import type { ForwardingState } from './forwarder.js'
import type { InfluxSettings } from './influx-database.js'
import { SPOOL_FILE } from './spool-schema.js'
import type { ReaderThread, SpoolThreadData, WriterThread } from './spool-worker.js'
import { newWaitingCount, waitingCount } from './waiting-count.js'

export interface InfluxStoreOptions {
  /** exists and belongs to this process (hub/sqlite/data-folder.ts) */
  readonly dataDir: string
  readonly influx: InfluxSettings
  /** readings that may wait for the database */
  readonly spoolLimit?: number
  /** days whose readings are kept on the hub's own disk as well and read from there; 0 where several hubs write */
  readonly keepDays?: number
  /** told when a thread dies; the store answers STORE_UNAVAILABLE from then on */
  readonly onCrash?: (error: Error) => void
  /** told when the database stops answering, and when it answers again */
  readonly onForwarding?: (state: ForwardingState) => void
}

export interface InfluxStore extends CopyableStore {
  /** Resolves when all that was appended is in InfluxDB. @throws StoreError  when it does not answer */
  flush(): Promise<void>
  /** Tidies away what need not be kept on the hub's disk at this time (else done every few minutes). */
  tidy(nowMs: number): Promise<number>
  /** as it was a few seconds ago, but for `waiting`, which is of now */
  forwarding(): ForwardingState
}

export const DEFAULT_SPOOL_LIMIT = 5_000_000
export const DEFAULT_KEEP_DAYS = 10
const LOOK_EVERY_MS = 1_000

/** @throws StoreError  when the spool cannot be opened; a database that does not answer is no error here */
export async function openInfluxStore(options: InfluxStoreOptions): Promise<InfluxStore> {
  const { dataDir, influx, spoolLimit = DEFAULT_SPOOL_LIMIT, keepDays = DEFAULT_KEEP_DAYS } = options
  const moduleUrl = new URL('./spool-worker.js', import.meta.url)
  const shared = newWaitingCount()
  const waiting = waitingCount(shared)
  let closed = false
  let crashed: StoreError | null = null

  const crash = (cause: Error): void => {
    crashed ??= new StoreError(
      'STORE_UNAVAILABLE',
      `A thread of the store ended: ${cause.message}. Restart the hub.`,
      false,
      { cause },
    )
    options.onCrash?.(crashed)
  }
  const start = <T extends object>(role: SpoolThreadData['role']): RemoteHandle<T> =>
    startRemote<T>(
      moduleUrl,
      {
        role,
        file: join(dataDir, SPOOL_FILE),
        limit: spoolLimit,
        keepDays,
        influx,
        waiting: shared,
      } satisfies SpoolThreadData,
      reviveStoreError,
      crash,
    )
  const writer = start<WriterThread>('writer')
  const reader = start<ReaderThread>('reader')
  try {
    await writer.remote.open()
    await reader.remote.open()
  } catch (error) {
    await Promise.all([writer.terminate(), reader.terminate()])
    throw error
  }

  let state: ForwardingState = { isUp: null, trouble: null, waiting: 0, refused: 0, forwarded: 0 }
  const look = async (): Promise<void> => {
    if (closed || crashed) return
    const before = state
    state = await reader.remote.forwarding()
    if (state.isUp !== before.isUp || state.refused !== before.refused) options.onForwarding?.(state)
  }
  // a thread that has ended says so by `crash`
  const looking = setInterval(() => void look().catch(() => {}), LOOK_EVERY_MS)
  looking.unref()

  const ask = async <R>(call: () => Promise<R>): Promise<R> => {
    if (closed) throw new StoreError('STORE_CLOSED', 'The store is closed.', false)
    if (crashed) throw crashed
    try {
      return await call()
    } catch (error) {
      throw crashed ?? error
    }
  }
  const read = reader.remote

  return {
    append: (readings, receivedAtMs) =>
      ask(async () => {
        if (readings.length === 0) return { stored: 0, repeated: 0 }
        const result = await writer.remote.append(encodeBatch(readings), receivedAtMs)
        if (result.stored > 0) void read.nudge().catch(() => {})
        return result
      }),
    deleteRange: (series, fromMs, toMs) => ask(() => read.deleteRange(series, fromMs, toMs)),
    readRange: (series, fromMs, toMs) => ask(() => read.readRange(series, fromMs, toMs)),
    countRange: (series, fromMs, toMs) => ask(() => read.countRange(series, fromMs, toMs)),
    readSteps: (series: SeriesKey, fromMs, toMs, stepMs) =>
      ask(() => read.readSteps(series, fromMs, toMs, stepMs)),
    latest: (garden) => ask(() => read.latest(garden)),
    listSeries: (garden) => ask(() => read.listSeries(garden)),
    listGardens: () => ask(() => read.listGardens()),
    readStored: (series, fromMs, toMs) => ask(() => read.readStored(series, fromMs, toMs)),
    appendStored: (series, rows) =>
      ask(async () => {
        const result = await writer.remote.append(encodeRows(series, rows), 0)
        void read.nudge().catch(() => {})
        return result
      }),
    settleCopies: () => ask(() => read.flush()),
    flush: () => ask(() => read.flush()),
    tidy: (nowMs) => ask(() => read.tidy(nowMs)),
    forwarding: () => ({ ...state, waiting: waiting.get() }),
    async close() {
      if (closed) return
      closed = true
      clearInterval(looking)
      if (!crashed) {
        await read.close()
        await writer.remote.close()
      }
      await Promise.all([reader.terminate(), writer.terminate()])
    },
  }
}
