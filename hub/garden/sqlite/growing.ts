/** What the journal says of stages, own crops, normals and mutes (the grower's), and learned forecasts, in SQLite. */
import type Database from 'better-sqlite3'
import type { TemperatureNormals } from '../../../shared/api/normals.js'
import type { Observation } from '../../../shared/api/progress.js'
import type { WarningKind } from '../../../shared/api/warnings.js'
import type { Adjustments } from '../../core/crops/adjusted-crop.js'
import type { ForecastPoint } from '../../core/forecast/public-correction.js'
import { GardenError, type StoredBedForecast, type StoredCrop, type StoredPublicForecast } from '../port.js'
import { type Answered, requireGarden } from './answered.js'

type GrowingMethods =
  | 'listObservations'
  | 'listCrops'
  | 'putCrop'
  | 'deleteCrop'
  | 'getTemperatureNormals'
  | 'putTemperatureNormals'
  | 'deleteTemperatureNormals'
  | 'listMutes'
  | 'putMutes'
  | 'bedForecast'
  | 'keepBedForecast'
  | 'publicForecasts'
  | 'keepPublicForecast'

/**
 * What the journal says of stages. Fit to cut is what felt firm, and what was cut: the first cut, unless it had felt firm
 * before.
 */
const OBSERVATIONS = `
  WITH fit AS (
    SELECT id, planting, row_number() OVER (
      PARTITION BY planting, kind ORDER BY done_on, written_at_ms, id) AS nth,
      min(CASE kind WHEN 'firmness' THEN done_on END) OVER (PARTITION BY planting) AS firm_on
    FROM journal_entries
    WHERE garden = @garden AND (firmness = 'firm' AND kind = 'firmness' OR kind = 'cut')
  )
  SELECT e.id, e.planting, CASE WHEN e.kind IN ('firmness', 'cut') THEN 'firm' ELSE e.kind END AS seen,
    e.done_on AS "on", e.note
  FROM journal_entries e LEFT JOIN fit ON fit.id = e.id
  WHERE e.garden = @garden AND e.planting IS NOT NULL AND (@planting IS NULL OR e.planting = @planting)
    AND (e.kind IN ('emerged', 'first-leaves', 'heads-started', 'split', 'bolted')
      OR e.kind = 'firmness' AND fit.id IS NOT NULL
      OR e.kind = 'cut' AND fit.nth = 1 AND (fit.firm_on IS NULL OR fit.firm_on > e.done_on))
  ORDER BY e.done_on, e.written_at_ms, e.id`

export function growing(db: Database.Database): Answered<GrowingMethods> {
  const requirePlanting = (garden: string, planting: string): void => {
    if (!db.prepare('SELECT 1 FROM plantings WHERE garden = ? AND id = ?').get(garden, planting)) {
      throw new GardenError('UNKNOWN_PLANTING', `There is no planting "${planting}".`)
    }
  }
  return {
    listObservations: (garden, planting) =>
      db
        .prepare<[{ garden: string; planting: string | null }], Observation>(OBSERVATIONS)
        .all({ garden, planting: planting ?? null }),

    listCrops: (garden) =>
      db
        .prepare<[string], Omit<StoredCrop, 'adjustments'> & { adjustments: string }>(
          'SELECT id, based_on AS basedOn, name, adjustments FROM garden_crops WHERE garden = ? ORDER BY id',
        )
        .all(garden)
        .map((row) => ({ ...row, adjustments: JSON.parse(row.adjustments) as Adjustments })),
    putCrop: (garden, crop) => {
      requireGarden(db, garden)
      db.prepare(
        `INSERT OR REPLACE INTO garden_crops (garden, id, based_on, name, adjustments)
         VALUES (?, ?, ?, ?, ?)`,
      ).run(garden, crop.id, crop.basedOn, crop.name, JSON.stringify(crop.adjustments))
    },
    deleteCrop: (garden, id) => {
      const crop = db
        .prepare<[string, string], { basedOn: string }>(
          'SELECT based_on AS basedOn FROM garden_crops WHERE garden = ? AND id = ?',
        )
        .get(garden, id)
      if (!crop) return false
      // an adjusted crop of the library is still there afterwards, one of the grower's own is not
      const isUsed = db.prepare('SELECT 1 FROM plantings WHERE garden = ? AND crop = ?').get(garden, id)
      if (crop.basedOn !== id && isUsed) {
        throw new GardenError(
          'STILL_USED',
          `Plantings are of the crop "${id}": give those another one first.`,
        )
      }
      return db.prepare('DELETE FROM garden_crops WHERE garden = ? AND id = ?').run(garden, id).changes > 0
    },

    getTemperatureNormals: (garden) => {
      const text = db
        .prepare<[string], string>('SELECT normals FROM temperature_normals WHERE garden = ?')
        .pluck()
        .get(garden)
      return text === undefined ? null : (JSON.parse(text) as TemperatureNormals)
    },
    putTemperatureNormals: (garden, normals) => {
      requireGarden(db, garden)
      db.prepare('INSERT OR REPLACE INTO temperature_normals (garden, normals) VALUES (?, ?)').run(
        garden,
        JSON.stringify(normals),
      )
    },
    deleteTemperatureNormals: (garden) =>
      db.prepare('DELETE FROM temperature_normals WHERE garden = ?').run(garden).changes > 0,

    listMutes: (garden) =>
      db
        .prepare<[string], { planting: string; kind: WarningKind }>(
          'SELECT planting, kind FROM warning_mutes WHERE garden = ? ORDER BY planting, kind',
        )
        .all(garden),
    putMutes: (garden, planting, kinds) => {
      requirePlanting(garden, planting)
      db.prepare('DELETE FROM warning_mutes WHERE planting = ?').run(planting)
      const put = db.prepare('INSERT INTO warning_mutes (garden, planting, kind) VALUES (?, ?, ?)')
      for (const kind of new Set(kinds)) put.run(garden, planting, kind)
    },

    bedForecast: (garden, bed) =>
      db
        .prepare<[string, string], StoredBedForecast>(
          'SELECT version, basis, state FROM bed_forecasts WHERE garden = ? AND bed = ?',
        )
        .get(garden, bed) ?? null,
    keepBedForecast: (garden, bed, { version, basis, state }) => {
      // a bed deleted meanwhile has no place for it
      db.prepare(
        `INSERT OR REPLACE INTO bed_forecasts (garden, bed, version, basis, state)
         SELECT garden, id, @version, @basis, @state FROM beds WHERE garden = @garden AND id = @bed`,
      ).run({ garden, bed, version, basis, state })
    },

    publicForecasts: (garden) =>
      db
        .prepare<[string], Omit<StoredPublicForecast, 'points'> & { points: string }>(
          `SELECT source, attribution, issued_at_ms AS issuedAtMs, fetched_at_ms AS fetchedAtMs,
             expires_at_ms AS expiresAtMs, validator, points
           FROM public_forecasts WHERE garden = ? ORDER BY issued_at_ms DESC, source`,
        )
        .all(garden)
        .map((row) => ({ ...row, points: JSON.parse(row.points) as ForecastPoint[] })),
    keepPublicForecast: (garden, forecast) => {
      requireGarden(db, garden)
      db.prepare(
        `INSERT OR REPLACE INTO public_forecasts
           (garden, source, attribution, issued_at_ms, fetched_at_ms, expires_at_ms, validator, points)
         VALUES (@garden, @source, @attribution, @issuedAtMs, @fetchedAtMs, @expiresAtMs, @validator, @points)`,
      ).run({ ...forecast, garden, points: JSON.stringify(forecast.points) })
    },
  }
}
