/** Hand-drawn skylines and clear-sky normals (the grower's), learned sun and carpet days (caches), in SQLite. */
import type Database from 'better-sqlite3'
import type { CarpetDay, ClearNormals, DrawnSkylineInput } from '../../../shared/api/sun.js'
import type { LearnedSun } from '../../core/sun/learned-sun.js'
import type { KeptLearnedSun } from '../port.js'
import { type Answered, requireBed, requireGarden } from './answered.js'

type SunMethods =
  | 'cachedCarpet'
  | 'cacheCarpet'
  | 'learnedSun'
  | 'keepLearnedSun'
  | 'forgetLearnedSun'
  | 'newestLearnedCutMs'
  | 'drawnSkylines'
  | 'putDrawnSkyline'
  | 'deleteDrawnSkyline'
  | 'getClearNormals'
  | 'putClearNormals'
  | 'deleteClearNormals'

export function sunTables(db: Database.Database): Answered<SunMethods> {
  return {
    // beside the day records, so that whatever forgets a day forgets its carpet
    cachedCarpet: (garden, bed, fromDate, toDate, { version, options, basis }) =>
      db
        .prepare<[string, string, string, string, string, number, string], string>(
          `SELECT record FROM day_records
           WHERE garden = ? AND bed = ? AND options = ? AND date BETWEEN ? AND ?
             AND version = ? AND basis = ? ORDER BY date`,
        )
        .pluck()
        .all(garden, bed, options, fromDate, toDate, version, basis)
        .map((text) => JSON.parse(text) as CarpetDay),

    cacheCarpet: (garden, bed, { version, options, basis }, days) => {
      const put = db.prepare(
        `INSERT OR REPLACE INTO day_records (garden, bed, options, date, version, basis, record)
         VALUES (?, ?, ?, ?, ?, ?, ?)`,
      )
      for (const day of days) put.run(garden, bed, options, day.date, version, basis, JSON.stringify(day))
    },

    learnedSun: (garden, month) =>
      db
        .prepare<[string, string], Omit<KeptLearnedSun, 'learned'> & { learned: string }>(
          `SELECT placement, month, version, basis, from_ms AS fromMs, cut_ms AS cutMs, learned
           FROM learned_sun WHERE garden = ? AND month = ? ORDER BY placement`,
        )
        .all(garden, month)
        .map((row) => ({ ...row, learned: JSON.parse(row.learned) as LearnedSun })),

    keepLearnedSun: (garden, learned) => {
      const put = db.prepare(
        // a placement deleted meanwhile has no place for it
        `INSERT OR REPLACE INTO learned_sun
           (garden, month, placement, version, basis, from_ms, cut_ms, learned)
         SELECT @garden, @month, id, @version, @basis, @fromMs, @cutMs, @text FROM placements
         WHERE id = @placement AND garden = @garden`,
      )
      for (const { learned: content, ...row } of learned) {
        put.run({ ...row, garden, text: JSON.stringify(content) })
      }
    },

    forgetLearnedSun: (garden, fromMs, toMs) => {
      db.prepare('DELETE FROM learned_sun WHERE garden = ? AND from_ms < ? AND cut_ms > ?').run(
        garden,
        toMs,
        fromMs,
      )
    },

    newestLearnedCutMs: (garden) =>
      db
        .prepare<[string], number | null>('SELECT max(cut_ms) FROM learned_sun WHERE garden = ?')
        .pluck()
        .get(garden) ?? null,

    drawnSkylines: (garden) =>
      db
        .prepare<[string], { bed: string; drawing: string }>(
          'SELECT bed, drawing FROM drawn_skylines WHERE garden = ? ORDER BY bed',
        )
        .all(garden)
        .map(({ bed, drawing }) => ({ bed, drawing: JSON.parse(drawing) as DrawnSkylineInput })),

    putDrawnSkyline: (garden, bed, drawing) => {
      requireGarden(db, garden)
      requireBed(db, garden, bed)
      db.prepare('INSERT OR REPLACE INTO drawn_skylines (garden, bed, drawing) VALUES (?, ?, ?)').run(
        garden,
        bed,
        JSON.stringify(drawing),
      )
    },

    deleteDrawnSkyline: (garden, bed) =>
      db.prepare('DELETE FROM drawn_skylines WHERE garden = ? AND bed = ?').run(garden, bed).changes > 0,

    getClearNormals: (garden) => {
      const text = db
        .prepare<[string], string>('SELECT normals FROM clear_normals WHERE garden = ?')
        .pluck()
        .get(garden)
      return text === undefined ? null : (JSON.parse(text) as ClearNormals)
    },

    putClearNormals: (garden, normals) => {
      requireGarden(db, garden)
      db.prepare('INSERT OR REPLACE INTO clear_normals (garden, normals) VALUES (?, ?)').run(
        garden,
        JSON.stringify(normals),
      )
    },

    deleteClearNormals: (garden) =>
      db.prepare('DELETE FROM clear_normals WHERE garden = ?').run(garden).changes > 0,
  }
}
