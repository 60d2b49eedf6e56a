/** All of one garden out of SQLite and into it again, in the form of shared/api/export.ts. */
import type Database from 'better-sqlite3'
import type { ExportList, ExportSingle } from '../../../shared/api/export.js'
import type { ExportRecord, GardenDump, PhotoPlace } from '../export-port.js'
import type { Answered } from './answered.js'
import { type ExportedTable, LIST_TABLES } from './garden-tables.js'

const GARDEN = `SELECT id, name, latitude_deg AS latitudeDeg, longitude_deg AS longitudeDeg,
  elevation_m AS elevationM, time_zone AS timeZone FROM gardens WHERE id = ?`

export function gardenDump(db: Database.Database): Answered<'dumpGarden'> {
  const one = (sql: string, garden: string): ExportRecord | null =>
    db.prepare<[string], ExportRecord>(sql).get(garden) ?? null
  const kept = (sql: string, garden: string): ExportRecord | null => {
    const text = db.prepare<[string], string>(sql).pluck().get(garden)
    return text === undefined ? null : JSON.parse(text)
  }

  const planWeather = (garden: string): ExportRecord | null => {
    const row = db
      .prepare<[string], { name: string; days: string }>(
        'SELECT name, days FROM plan_weather WHERE garden = ?',
      )
      .get(garden)
    return row ? { name: row.name, days: JSON.parse(row.days) } : null
  }

  return {
    dumpGarden: (garden): GardenDump | null => {
      const place = one(GARDEN, garden)
      if (place === null) return null
      const identity = db
        .prepare<[string], { uuid: string; madeAtMs: number }>(
          'SELECT uuid, made_at_ms AS madeAtMs FROM garden_uuids WHERE garden = ?',
        )
        .get(garden)
      const { webhookUrl: _key, ...delivery } = {
        webhookUrl: null,
        ...kept('SELECT settings FROM delivery_settings WHERE garden = ?', garden),
      }
      const list = (name: keyof typeof LIST_TABLES): ExportRecord[] =>
        recordsOf(db, LIST_TABLES[name], garden)
      return {
        singles: {
          garden: place,
          identity: identity ? { uuid: identity.uuid, madeAt: isoOf(identity.madeAtMs) } : null,
          temperatureNormals: kept('SELECT normals FROM temperature_normals WHERE garden = ?', garden),
          clearNormals: kept('SELECT normals FROM clear_normals WHERE garden = ?', garden),
          planWeather: planWeather(garden),
          delivery: Object.keys(delivery).length === 0 ? null : delivery,
        },
        lists: {
          beds: list('beds'),
          nodes: list('nodes'),
          placements: list('placements'),
          plantings: list('plantings'),
          crops: list('crops'),
          drawnSkylines: list('drawnSkylines'),
          mutes: list('mutes'),
          taskAnswers: list('taskAnswers'),
          journal: list('journal'),
          journalRemovals: list('journalRemovals'),
          warnings: list('warnings'),
        },
        photos: db
          .prepare<[string], PhotoPlace>(
            `SELECT f.id, f.entry FROM journal_photos f JOIN journal_entries e ON e.id = f.entry
             WHERE e.garden = ? ORDER BY e.done_on, e.written_at_ms, e.id, f.rowid`,
          )
          .all(garden),
      }
    },
  }
}

function recordsOf(db: Database.Database, { table, columns, order }: ExportedTable, garden: string) {
  const names = Object.entries(columns).map(([name, [column]]) => `${column} AS "${name}"`)
  const rows = db
    .prepare<[string], ExportRecord>(
      `SELECT ${names.join(', ')} FROM ${table} WHERE garden = ? ORDER BY ${order}`,
    )
    .all(garden)
  return rows.map((row) =>
    Object.fromEntries(
      Object.entries(columns).map(([name, [, form]]) => {
        const value = row[name]
        if (form === 'time' && typeof value === 'number') return [name, isoOf(value)]
        return [name, form === 'json' && typeof value === 'string' ? JSON.parse(value) : value]
      }),
    ),
  )
}

export interface GardenLoader {
  single(name: ExportSingle, record: ExportRecord): void
  record(list: ExportList, record: ExportRecord): void
}

/**
 * Puts checked records of one garden in, in the order of the file. The caller holds the transaction around all of it, and has
 * checked that what records name is there.
 */
export function gardenLoader(db: Database.Database, garden: string): GardenLoader {
  const put = (sql: string, values: ExportRecord): void => {
    db.prepare(sql).run({ ...values, garden })
  }
  const inserts = new Map<string, Database.Statement>()
  const insertOf = (name: keyof typeof LIST_TABLES): Database.Statement => {
    const known = inserts.get(name)
    if (known) return known
    const { table, columns } = LIST_TABLES[name]
    const entries = Object.entries(columns)
    const made = db.prepare(
      `INSERT INTO ${table} (garden, ${entries.map(([, [column]]) => column).join(', ')})
       VALUES (@garden, ${entries.map(([field]) => `@${field}`).join(', ')})`,
    )
    inserts.set(name, made)
    return made
  }

  return {
    single(name, record) {
      switch (name) {
        case 'garden':
          return put(
            `INSERT INTO gardens (id, name, latitude_deg, longitude_deg, elevation_m, time_zone)
             VALUES (@garden, @name, @latitudeDeg, @longitudeDeg, @elevationM, @timeZone)`,
            record,
          )
        case 'identity':
          return put(
            'INSERT INTO garden_uuids (garden, uuid, made_at_ms) VALUES (@garden, @uuid, @madeAtMs)',
            {
              uuid: record.uuid,
              madeAtMs: msOf(record.madeAt),
            },
          )
        case 'temperatureNormals':
          return put('INSERT INTO temperature_normals (garden, normals) VALUES (@garden, @text)', {
            text: JSON.stringify(record),
          })
        case 'clearNormals':
          return put('INSERT INTO clear_normals (garden, normals) VALUES (@garden, @text)', {
            text: JSON.stringify(record),
          })
        case 'planWeather':
          return put('INSERT INTO plan_weather (garden, name, days) VALUES (@garden, @name, @text)', {
            name: record.name,
            text: JSON.stringify(record.days),
          })
        case 'delivery':
          return put(
            'INSERT INTO delivery_settings (garden, settings, webhook_secret) VALUES (@garden, @text, NULL)',
            { text: JSON.stringify({ ...record, webhookUrl: null }) },
          )
      }
    },
    record(list, record) {
      if (list === 'photos') {
        return put(
          'INSERT INTO journal_photos (id, entry, media_type, image) VALUES (@id, @entry, @mediaType, @image)',
          { ...record, image: Buffer.from(String(record.image), 'base64') },
        )
      }
      const { columns } = LIST_TABLES[list]
      const values: Record<string, unknown> = { garden }
      for (const [name, [, form]] of Object.entries(columns)) {
        const value = record[name] ?? null
        values[name] =
          value === null || form === 'plain' ? value : form === 'time' ? msOf(value) : JSON.stringify(value)
      }
      insertOf(list).run(values)
    },
  }
}

const isoOf = (timeMs: number): string => new Date(timeMs).toISOString()
const msOf = (iso: unknown): number => Date.parse(String(iso))
