/** Computed day records in SQLite: a cache that may be emptied at any time. */
import type Database from 'better-sqlite3'
import type { DayRecord } from '../../../shared/api/measurements.js'
import type { Answered } from './answered.js'

type DayCacheMethods = 'cachedDays' | 'cacheDays' | 'newestCachedDay' | 'forgetDays'

export function dayCache(db: Database.Database): Answered<DayCacheMethods> {
  return {
    cachedDays: (garden, bed, fromDate, toDate, { version, options, basis }) =>
      db
        .prepare<[string, string, string, string, string, number, string], string>(
          `SELECT record FROM day_records
           WHERE garden = ? AND bed = ? AND options = ? AND date BETWEEN ? AND ?
             AND version = ? AND basis = ? ORDER BY date`,
        )
        .pluck()
        .all(garden, bed, options, fromDate, toDate, version, basis)
        .map((text) => JSON.parse(text) as DayRecord),

    cacheDays: (garden, bed, { version, options, basis }, records) => {
      const put = db.prepare(
        `INSERT OR REPLACE INTO day_records (garden, bed, options, date, version, basis, record)
         VALUES (?, ?, ?, ?, ?, ?, ?)`,
      )
      for (const record of records) {
        put.run(garden, bed, options, record.date, version, basis, JSON.stringify(record))
      }
    },

    newestCachedDay: (garden) =>
      db
        .prepare<[string], string | null>('SELECT max(date) FROM day_records WHERE garden = ?')
        .pluck()
        .get(garden) ?? null,

    forgetDays: (garden, bed, fromDate, toDate) => {
      db.prepare('DELETE FROM day_records WHERE garden = ? AND bed = ? AND date >= ? AND date <= ?').run(
        garden,
        bed,
        fromDate ?? '0000-01-01',
        toDate ?? '9999-12-31',
      )
    },
  }
}
