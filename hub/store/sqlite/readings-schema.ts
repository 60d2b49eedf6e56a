/** Tables of the readings database, and how a connection to it is set up. */
import Database from 'better-sqlite3'
import { type Migration, migrate } from '../../sqlite/migrate.js'
import { HOUR_MS } from '../weighted-readings.js'

export const READINGS_FILE = 'readings.sqlite'

/**
 * Raise this when the meaning of a stored roll-up changes (quality checks, weights): all hours are then
 * computed again from the readings, a few at a time.
 */
export const ROLLUP_VERSION = 1

const MIGRATIONS: readonly Migration[] = [
  {
    version: 1,
    name: 'readings and hourly roll-ups',
    sql: `
      CREATE TABLE series (
        id        INTEGER PRIMARY KEY,
        garden    TEXT NOT NULL,
        node      TEXT NOT NULL,
        quantity  TEXT NOT NULL,
        readings  INTEGER NOT NULL DEFAULT 0,
        UNIQUE (garden, node, quantity)
      );
      -- the key is the order on disk: a range of one series is read in one sweep
      CREATE TABLE reading (
        series_id   INTEGER NOT NULL,
        time_ms     INTEGER NOT NULL,
        value       REAL NOT NULL,
        flags       INTEGER NOT NULL,
        delay_ms    INTEGER NOT NULL, -- received this much after it was measured; small numbers take little room
        PRIMARY KEY (series_id, time_ms)
      ) WITHOUT ROWID;
      CREATE TABLE hour_rollup (
        series_id   INTEGER NOT NULL,
        hour        INTEGER NOT NULL, -- whole hours since the epoch, UTC
        min         REAL,             -- null: no good reading
        max         REAL,
        weighted    REAL NOT NULL,    -- sum of value x ms accounted for
        covered_ms  REAL NOT NULL,
        good        INTEGER NOT NULL,
        readings    INTEGER NOT NULL,
        PRIMARY KEY (series_id, hour)
      ) WITHOUT ROWID;
      -- hours whose readings changed since their roll-up, and with it that of the hours around, was computed
      CREATE TABLE touched_hour (
        series_id   INTEGER NOT NULL,
        hour        INTEGER NOT NULL,
        PRIMARY KEY (series_id, hour)
      ) WITHOUT ROWID;
      CREATE TABLE meta (key TEXT PRIMARY KEY, value) WITHOUT ROWID;
    `,
  },
]

/** Newest version of its tables. */
export const READINGS_VERSION = MIGRATIONS.length

/** Opens the database for writing, creating or updating its tables. */
export function openForWriting(file: string): Database.Database {
  const db = new Database(file)
  try {
    db.pragma('busy_timeout = 5000')
    if (db.pragma('journal_mode = WAL', { simple: true }) !== 'wal')
      throw new Error(`${file}: this file system does not let SQLite keep a write-ahead log`)
    // every commit is synced to disk: what is acknowledged survives a power cut
    db.pragma('synchronous = FULL')
    db.pragma('cache_size = -16384')
    db.pragma('wal_autocheckpoint = 2000')
    db.pragma('journal_size_limit = 33554432')
    migrate(db, MIGRATIONS)
    renewRollups(db)
    return db
  } catch (error) {
    db.close()
    throw error
  }
}

/** Opens the database for reading only; the writer must have opened it before. */
export function openForReading(file: string): Database.Database {
  const db = new Database(file, { readonly: true, fileMustExist: true })
  db.pragma('busy_timeout = 5000')
  db.pragma('cache_size = -16384')
  return db
}

function renewRollups(db: Database.Database): void {
  const stored = db.prepare("SELECT value FROM meta WHERE key = 'rollup-version'").pluck().get()
  if (stored === ROLLUP_VERSION) return
  db.transaction(() => {
    db.exec('DELETE FROM hour_rollup')
    // floor, also for times before 1970
    db.prepare(
      `INSERT OR IGNORE INTO touched_hour
       SELECT DISTINCT series_id, (time_ms - ((time_ms % ${HOUR_MS}) + ${HOUR_MS}) % ${HOUR_MS}) / ${HOUR_MS} FROM reading`,
    ).run()
    db.prepare("INSERT OR REPLACE INTO meta VALUES ('rollup-version', ?)").run(ROLLUP_VERSION)
  }).immediate()
}
