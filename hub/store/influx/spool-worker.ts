/** Threads of the InfluxDB store: one takes readings, one forwards and reads; see open-influx-store.ts. */
import { workerData } from 'node:worker_threads'
import { serveObject } from '../../worker/served.js'
import { asStoreError } from '../sqlite/store-errors.js'
import type { InfluxSettings } from './influx-database.js'
import { openSpoolWriter, type SpoolWriter } from './spool-writer.js'
import { openSpooledReader, type SpooledReader } from './spooled-reader.js'
import { waitingCount } from './waiting-count.js'

export interface SpoolThreadData {
  readonly role: 'writer' | 'reader'
  readonly file: string
  readonly limit: number
  readonly keepDays: number
  readonly influx: InfluxSettings
  readonly waiting: SharedArrayBuffer
}

/** `open` comes first, so that a spool that cannot be opened is an answer and not a dead thread. */
export type WriterThread = SpoolWriter & { open(): void }
export type ReaderThread = SpooledReader & { open(): void }

const data = workerData as SpoolThreadData

const thread: object = {
  open() {
    const waiting = waitingCount(data.waiting)
    try {
      Object.assign(
        thread,
        data.role === 'writer'
          ? openSpoolWriter(data.file, data.limit, waiting)
          : openSpooledReader({ file: data.file, influx: data.influx, waiting, keepDays: data.keepDays }),
      )
    } catch (error) {
      throw asStoreError(error)
    }
  },
}
// reading waits for the network; taking readings is one commit after the other
serveObject(thread, { atOnce: data.role === 'reader' })
