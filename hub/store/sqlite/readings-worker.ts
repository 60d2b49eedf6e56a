/** Thread of the readings database: serves the writer or the reader, see open-sqlite-store.ts. */
import { workerData } from 'node:worker_threads'
import { serveObject } from '../../worker/served.js'
import { openReadingsReader, type ReadingsReader } from './readings-reader.js'
import { openReadingsWriter, type ReadingsWriter } from './readings-writer.js'
import { asStoreError } from './store-errors.js'

export interface ReadingsThreadData {
  readonly role: 'writer' | 'reader'
  readonly file: string
}

/** `open` comes first, so that a database that cannot be opened is an answer and not a dead thread. */
export type WriterThread = ReadingsWriter & { open(): void }
export type ReaderThread = ReadingsReader & { open(): void }

const { role, file } = workerData as ReadingsThreadData

const thread: object = {
  open() {
    try {
      Object.assign(thread, role === 'writer' ? openReadingsWriter(file) : openReadingsReader(file))
    } catch (error) {
      throw asStoreError(error)
    }
  },
}
serveObject(thread)
