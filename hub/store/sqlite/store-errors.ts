/** What goes wrong in SQLite, in the words of the store port. */
import { StoreError } from '../port.js'

interface Failure {
  readonly code: StoreError['code']
  readonly retryable: boolean
  readonly advice: string
}

/** by the start of SQLite's result code, https://www.sqlite.org/rescode.html */
const FAILURES: readonly (readonly [prefix: string, failure: Failure])[] = [
  [
    'SQLITE_FULL',
    { code: 'STORE_FULL', retryable: true, advice: 'The disk is full: make room; nothing stored is lost.' },
  ],
  [
    'SQLITE_CORRUPT',
    {
      code: 'STORE_CORRUPT',
      retryable: false,
      advice: 'The readings database is damaged: stop the hub and restore a backup.',
    },
  ],
  [
    'SQLITE_NOTADB',
    {
      code: 'STORE_CORRUPT',
      retryable: false,
      advice: 'The readings database is not a database: restore a backup, or move the file away.',
    },
  ],
  [
    'SQLITE_READONLY',
    {
      code: 'STORE_UNAVAILABLE',
      retryable: false,
      advice: 'The data folder is not writable: give the hub’s user write permission.',
    },
  ],
  [
    'SQLITE_CANTOPEN',
    {
      code: 'STORE_UNAVAILABLE',
      retryable: false,
      advice: 'The readings database cannot be opened: check the data folder and its permissions.',
    },
  ],
  [
    'SQLITE_IOERR',
    {
      code: 'STORE_UNAVAILABLE',
      retryable: true,
      advice: 'The disk reports an error: check the disk or card.',
    },
  ],
  [
    'SQLITE_BUSY',
    { code: 'STORE_UNAVAILABLE', retryable: true, advice: 'Another program holds the readings database.' },
  ],
]

/** A StoreError for anything SQLite throws; other errors (misuse) come back as they are. */
export function asStoreError(error: unknown): Error {
  if (error instanceof StoreError) return error
  const cause = error instanceof Error ? error : new Error(String(error))
  const { code } = cause as Error & { code?: unknown }
  if (typeof code !== 'string' || !code.startsWith('SQLITE_')) return cause
  const failure = FAILURES.find(([prefix]) => code.startsWith(prefix))?.[1] ?? {
    code: 'STORE_UNAVAILABLE' as const,
    retryable: false,
    advice: 'The readings database failed.',
  }
  return new StoreError(failure.code, `${failure.advice} (${code}: ${cause.message})`, failure.retryable, {
    cause,
  })
}
