/**
 * The embedded store: SQLite with a write-ahead log, every commit synced to disk. Writing and reading have a
 * thread and a connection each, so that a slow disk or a long read holds up neither the other nor MQTT and HTTP.
 *
 * Costs: about 30 bytes a reading on disk; a commit is one sync of the disk however many readings it holds, so callers
 * group them. What belongs here: this adapter. May import the port, core, shared, hub/sqlite and hub/worker.
 */
import { join } from 'node:path'
import { type RemoteHandle, startRemote } from '../../worker/remote.js'
import { StoreError } from '../port.js'
import { reviveStoreError } from '../store-thread-errors.js'
import type { CopyableStore } from '../stored-rows.js'
import { encodeBatch, encodeRows } from './reading-batch.js'
import { READINGS_FILE } from './readings-schema.js'
import type { ReaderThread, ReadingsThreadData, WriterThread } from './readings-worker.js'

export interface SqliteStoreOptions {
  /** exists and belongs to this process (hub/sqlite/data-folder.ts) */
  readonly dataDir: string
  /** told when a thread dies; the store answers STORE_UNAVAILABLE from then on */
  readonly onCrash?: (error: Error) => void
}

export interface SqliteStore extends CopyableStore {
  /** Computes every settled roll-up now instead of when idle (after an import; in tests). */
  settleRollups(): Promise<void>
}

/**
 * Opens (or makes) the readings database of a data folder.
 *
 * @throws StoreError      when it cannot be opened; the message says what to do
 * @throws MigrationError  (by name) when a newer hearting wrote it
 */
export async function openSqliteStore({ dataDir, onCrash }: SqliteStoreOptions): Promise<SqliteStore> {
  const file = join(dataDir, READINGS_FILE)
  const moduleUrl = new URL('./readings-worker.js', import.meta.url)
  let closed = false
  let crashed: StoreError | null = null

  const crash = (cause: Error): void => {
    crashed ??= new StoreError(
      'STORE_UNAVAILABLE',
      `The readings database's thread ended: ${cause.message}. Restart the hub.`,
      false,
      { cause },
    )
    onCrash?.(crashed)
  }
  const start = <T extends object>(role: ReadingsThreadData['role']): RemoteHandle<T> =>
    startRemote<T>(moduleUrl, { role, file } satisfies ReadingsThreadData, reviveStoreError, crash)

  const writer = start<WriterThread>('writer')
  const reader = start<ReaderThread>('reader')
  try {
    await writer.remote.open()
    await reader.remote.open()
  } catch (error) {
    await Promise.all([writer.terminate(), reader.terminate()])
    throw error
  }

  const ask = async <R>(call: () => Promise<R>): Promise<R> => {
    if (closed) throw new StoreError('STORE_CLOSED', 'The readings database is closed.', false)
    if (crashed) throw crashed
    try {
      return await call()
    } catch (error) {
      throw crashed ?? error
    }
  }

  return {
    append: (readings, receivedAtMs) =>
      ask(() => {
        if (readings.length === 0) return Promise.resolve({ stored: 0, repeated: 0 })
        return writer.remote.append(encodeBatch(readings), receivedAtMs)
      }),
    deleteRange: (series, fromMs, toMs) => ask(() => writer.remote.deleteRange(series, fromMs, toMs)),
    settleRollups: () => ask(() => writer.remote.settle()),
    listGardens: () => ask(() => reader.remote.listGardens()),
    readStored: (series, fromMs, toMs) => ask(() => reader.remote.readStored(series, fromMs, toMs)),
    appendStored: (series, rows) => ask(() => writer.remote.append(encodeRows(series, rows), 0)),
    settleCopies: () => ask(() => writer.remote.settle()),
    readRange: (series, fromMs, toMs) => ask(() => reader.remote.readRange(series, fromMs, toMs)),
    countRange: (series, fromMs, toMs) => ask(() => reader.remote.countRange(series, fromMs, toMs)),
    readSteps: (series, fromMs, toMs, stepMs) =>
      ask(() => reader.remote.readSteps(series, fromMs, toMs, stepMs)),
    latest: (garden) => ask(() => reader.remote.latest(garden)),
    listSeries: (garden) => ask(() => reader.remote.listSeries(garden)),
    async close() {
      if (closed) return
      closed = true
      // the writer last: the last connection to close folds the log into the database
      if (!crashed) {
        await reader.remote.close()
        await writer.remote.close()
      }
      await Promise.all([reader.terminate(), writer.terminate()])
    },
  }
}
