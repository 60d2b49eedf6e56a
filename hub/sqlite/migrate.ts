/**
 * Numbered migrations of a SQLite database, shared by the readings and the garden database.
 * The version lives in `user_version`, so it needs no table and is part of every backup.
 */
import type Database from 'better-sqlite3'

export interface Migration {
  /** 1, 2, 3 … without holes; never changed once released */
  readonly version: number
  /** what it does, for the error message */
  readonly name: string
  readonly sql: string
}

export class MigrationError extends Error {
  constructor(
    readonly code: 'NEWER_DATABASE' | 'MIGRATION_FAILED',
    message: string,
    options?: { cause?: unknown },
  ) {
    super(message, options)
    this.name = 'MigrationError'
  }
}

/**
 * Brings a database to the newest version, each step in a transaction of its own: a crash in the middle leaves
 * the last whole version.
 *
 * @returns  the version before and after
 * @throws MigrationError  NEWER_DATABASE when the file was written by a newer hearting (nothing is touched);
 *                         MIGRATION_FAILED when a step fails (that step is rolled back)
 * @throws RangeError      when the list is not numbered 1, 2, 3 …
 */
export function migrate(
  db: Database.Database,
  migrations: readonly Migration[],
): { readonly from: number; readonly to: number } {
  for (const [i, { version }] of migrations.entries()) {
    if (version !== i + 1) throw new RangeError(`migration ${i + 1} is numbered ${version}`)
  }
  const from = db.pragma('user_version', { simple: true }) as number
  if (from > migrations.length) {
    throw new MigrationError(
      'NEWER_DATABASE',
      `${db.name} has version ${from}, but this hearting knows only up to ${migrations.length}. ` +
        'It was written by a newer hearting: run that one, or restore a backup made before the update.',
    )
  }
  for (const { version, name, sql } of migrations.slice(from)) {
    try {
      db.transaction(() => {
        db.exec(sql)
        db.pragma(`user_version = ${version}`)
      }).immediate()
    } catch (cause) {
      throw new MigrationError(
        'MIGRATION_FAILED',
        `${db.name}: migration ${version} (${name}) failed: ${cause instanceof Error ? cause.message : cause}`,
        { cause },
      )
    }
  }
  return { from, to: migrations.length }
}
