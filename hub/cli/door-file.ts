/**
 * The hub's doors from the command line, on the hub's own machine: a connection of its own to the garden database,
 * beside that of a running hub. SQLite's write-ahead log allows it; the hub looks once a second whether another
 * connection has written, so that a revoked credential is cut off within a second.
 */
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import type { Command } from 'commander'
import { loadConfig } from '../config.js'
import { type AnsweredDoorRecords, doorRecords } from '../garden/sqlite/door-records.js'
import { GARDEN_MIGRATIONS } from '../garden/sqlite/schema.js'
import { claimDataFolder, DataFolderError } from '../sqlite/data-folder.js'
import { migrate } from '../sqlite/migrate.js'

/** The data folder is not what the command needs; the message says what to do. */
export class DoorFileError extends Error {
  constructor(message: string) {
    super(message)
    this.name = 'DoorFileError'
  }
}

export interface DoorFileOptions {
  readonly config?: string
}

export const withConfigOption = (command: Command): Command =>
  command.option('--config <file>', 'settings file of the hub (hearting.config.json where it is there)')

/**
 * Reads or changes what the doors remember, in one transaction.
 *
 * @throws ConfigError, DataFolderError, MigrationError
 * @throws DoorFileError  there is no hub's data, or a running hub of another version has it
 */
export function withDoorFile<T>(options: DoorFileOptions, use: (records: AnsweredDoorRecords) => T): T {
  const { dataDir } = loadConfig(process.env, options.config)
  const path = join(dataDir, 'garden.sqlite')
  if (!existsSync(path)) {
    throw new DoorFileError(
      `There is no hub's data in ${dataDir}: start the hub once, or name its folder (HEARTING_DATA_DIR).`,
    )
  }
  bringUpToDate(dataDir, path)
  const db = new Database(path, { timeout: 10_000, fileMustExist: true })
  try {
    db.pragma('synchronous = FULL')
    db.pragma('foreign_keys = ON')
    return db.transaction(() => use(doorRecords(db))).immediate()
  } finally {
    db.close()
  }
}

/** Only while no hub runs: changing the tables under one would break it. */
function bringUpToDate(dataDir: string, path: string): void {
  let claim: ReturnType<typeof claimDataFolder> | null = null
  try {
    claim = claimDataFolder(dataDir)
  } catch (error) {
    if (!(error instanceof DataFolderError) || error.code !== 'IN_USE') throw error
  }
  const db = new Database(path, { timeout: 10_000, fileMustExist: true })
  try {
    if (claim) migrate(db, GARDEN_MIGRATIONS)
    else if (db.pragma('user_version', { simple: true }) !== GARDEN_MIGRATIONS.length) {
      throw new DoorFileError(
        'The hub that runs on this folder is of another version than this command: restart the hub, or use its own.',
      )
    }
  } finally {
    db.close()
    claim?.release()
  }
}

/** A table for people: columns as wide as they need to be. */
export function columns(rows: readonly (readonly string[])[]): string {
  const widths = (rows[0] ?? []).map((_, i) => Math.max(...rows.map((row) => row[i]?.length ?? 0)))
  return rows
    .map((row) =>
      row
        .map((cell, i) => cell.padEnd(widths[i]!))
        .join('  ')
        .trimEnd(),
    )
    .join('\n')
}

export const dayOf = (timeMs: number): string => new Date(timeMs).toISOString().slice(0, 10)
