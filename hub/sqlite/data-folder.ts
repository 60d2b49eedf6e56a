/** The data folder belongs to one running hub at a time. */
import { accessSync, constants, mkdirSync } from 'node:fs'
import { join, resolve } from 'node:path'
import Database from 'better-sqlite3'

export class DataFolderError extends Error {
  constructor(
    readonly code: 'NOT_WRITABLE' | 'IN_USE',
    message: string,
    options?: { cause?: unknown },
  ) {
    super(message, options)
    this.name = 'DataFolderError'
  }
}

export interface DataFolderClaim {
  readonly dir: string
  release(): void
}

/**
 * Makes the folder if need be and claims it for this process.
 *
 * The claim is a lock that the operating system holds on `hub.lock` (through SQLite, which has the portable
 * locks that Node lacks): it ends with the process, also when that is killed, so no stale lock is left behind.
 *
 * @throws DataFolderError  NOT_WRITABLE: cannot be made or written; IN_USE: another hub runs on it
 */
export function claimDataFolder(dataDir: string): DataFolderClaim {
  const dir = resolve(dataDir)
  try {
    // for the hub's user alone: what is in it tells when somebody is in the garden
    mkdirSync(dir, { recursive: true, mode: 0o700 })
    accessSync(dir, constants.R_OK | constants.W_OK | constants.X_OK)
  } catch (cause) {
    throw notWritable(dir, cause)
  }
  let lock: Database.Database | null = null
  try {
    lock = new Database(join(dir, 'hub.lock'), { timeout: 0 })
    lock.pragma('journal_mode = MEMORY')
    lock.exec('BEGIN EXCLUSIVE')
  } catch (cause) {
    lock?.close()
    if (cause instanceof Database.SqliteError && cause.code.startsWith('SQLITE_BUSY')) {
      throw new DataFolderError(
        'IN_USE',
        `Another hearting is already running on the data folder ${dir}. Stop it, or give this one a folder of its own (HEARTING_DATA_DIR).`,
        { cause },
      )
    }
    throw notWritable(dir, cause)
  }
  const held = lock
  return { dir, release: () => held.close() }
}

const notWritable = (dir: string, cause: unknown): DataFolderError =>
  new DataFolderError(
    'NOT_WRITABLE',
    `The data folder ${dir} cannot be written: give the hub's user write permission, or choose another folder (HEARTING_DATA_DIR). (${cause instanceof Error ? cause.message : cause})`,
    { cause },
  )
