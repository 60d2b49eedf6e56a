/**
 * The spool: a SQLite database in front of InfluxDB. Every reading is on disk here before it is acknowledged, and
 * waits here until InfluxDB has it. The newest days stay here as well, so that a page of today needs no network.
 */
import Database from 'better-sqlite3'
import { type Migration, migrate } from '../../sqlite/migrate.js'

export const SPOOL_FILE = 'spool.sqlite'

/** Where a reading stands on its way. */
export const STATE = {
  /** InfluxDB has it; kept for quick reading and for telling redeliveries */
  forwarded: 0,
  /** not yet sent, or not known to have arrived */
  waiting: 1,
  /** on its way, and known not to have been in InfluxDB before */
  sending: 2,
  /** InfluxDB will not take it (its retention, a conflict of types): stays here, and is read from here */
  refused: 3,
} as const

/** `complete_from_ms` where nothing here is complete. */
export const NEVER_COMPLETE_MS = Number.MAX_SAFE_INTEGER
/** … and where everything is. */
export const ALWAYS_COMPLETE_MS = Number.MIN_SAFE_INTEGER

const MIGRATIONS: readonly Migration[] = [
  {
    version: 1,
    name: 'readings on their way to InfluxDB',
    sql: `
      CREATE TABLE series (
        id          INTEGER PRIMARY KEY,
        garden      TEXT NOT NULL,
        node        TEXT NOT NULL,
        quantity    TEXT NOT NULL,
        remote      INTEGER NOT NULL DEFAULT 0, -- readings that InfluxDB has
        remote_first_ms INTEGER,                -- null: it has none
        remote_last_ms  INTEGER,
        -- counts up when something older than what is complete here changes: what was computed meanwhile is not kept
        changes     INTEGER NOT NULL DEFAULT 0,
        UNIQUE (garden, node, quantity)
      );
      CREATE TABLE reading (
        series_id   INTEGER NOT NULL,
        time_ms     INTEGER NOT NULL,
        value       REAL NOT NULL,
        flags       INTEGER NOT NULL,
        delay_ms    INTEGER NOT NULL,
        state       INTEGER NOT NULL,
        PRIMARY KEY (series_id, time_ms)
      ) WITHOUT ROWID;
      CREATE INDEX unsent ON reading (series_id, time_ms) WHERE state > 0;
      -- hourly figures of past days, computed from InfluxDB's readings once: a cache
      CREATE TABLE day_figures (
        series_id   INTEGER NOT NULL,
        day         INTEGER NOT NULL, -- whole UTC days since the epoch
        figures     BLOB NOT NULL,
        PRIMARY KEY (series_id, day)
      ) WITHOUT ROWID;
      CREATE TABLE spool (
        only        INTEGER PRIMARY KEY CHECK (only = 1),
        -- from this time on every reading that there is, is here
        complete_from_ms INTEGER NOT NULL,
        -- counts up with every tidying away: a read that spans one is done again
        tidied      INTEGER NOT NULL DEFAULT 0,
        -- 1: it is known what InfluxDB had before this spool
        is_joined   INTEGER NOT NULL DEFAULT 0
      );
      INSERT INTO spool (only, complete_from_ms) VALUES (1, ${NEVER_COMPLETE_MS});
    `,
  },
]

/** Newest version of its tables. */
export const SPOOL_VERSION = MIGRATIONS.length

/**
 * Opens the spool, making it where it is not there; several threads may hold a connection each.
 *
 * @param commits  what is acknowledged must outlive a power cut. What was forwarded need not be known for ever: it is
 *                 sent again then, and changes nothing
 */
export function openSpool(
  file: string,
  commits: 'for ever' | 'until retold' = 'for ever',
): Database.Database {
  const db = new Database(file)
  try {
    db.pragma('busy_timeout = 10000')
    if (db.pragma('journal_mode = WAL', { simple: true }) !== 'wal')
      throw new Error(`${file}: this file system does not let SQLite keep a write-ahead log`)
    db.pragma(commits === 'for ever' ? 'synchronous = FULL' : 'synchronous = NORMAL')
    db.pragma('cache_size = -16384')
    db.pragma('journal_size_limit = 33554432')
    migrate(db, MIGRATIONS)
    return db
  } catch (error) {
    db.close()
    throw error
  }
}
