/** Gardens, beds and nodes in SQLite. */
import type Database from 'better-sqlite3'
import type { Bed, Garden, Node } from '../../../shared/api/garden.js'
import { GardenError } from '../port.js'
import { type Answered, requireGarden } from './answered.js'
import { forgetAnswers } from './season-answers.js'

const GARDEN = `SELECT id, name, latitude_deg AS latitudeDeg, longitude_deg AS longitudeDeg,
  elevation_m AS elevationM, time_zone AS timeZone FROM gardens`
const BED = 'SELECT id, name, kind, length_m AS lengthM, width_m AS widthM, depth_m AS depthM FROM beds'
const NODE = 'SELECT id, name FROM nodes'

type PlaceMethods =
  | 'listGardens'
  | 'getGarden'
  | 'putGarden'
  | 'listBeds'
  | 'getBed'
  | 'putBed'
  | 'deleteBed'
  | 'listNodes'
  | 'getNode'
  | 'putNode'
  | 'deleteNode'

export function places(db: Database.Database): Answered<PlaceMethods> {
  const getGarden = (garden: string): Garden | null =>
    db.prepare<[string], Garden>(`${GARDEN} WHERE id = ?`).get(garden) ?? null

  const getBed = (garden: string, bed: string): Bed | null =>
    db.prepare<[string, string], Bed>(`${BED} WHERE garden = ? AND id = ?`).get(garden, bed) ?? null

  const getNode = (garden: string, node: string): Node | null =>
    db.prepare<[string, string], Node>(`${NODE} WHERE garden = ? AND id = ?`).get(garden, node) ?? null

  const count = (
    table: 'placements' | 'plantings' | 'journal_entries',
    column: 'bed' | 'node',
    garden: string,
    id: string,
  ) =>
    db
      .prepare<[string, string], number>(`SELECT count(*) FROM ${table} WHERE garden = ? AND ${column} = ?`)
      .pluck()
      .get(garden, id) ?? 0

  return {
    listGardens: () => db.prepare<[], Garden>(`${GARDEN} ORDER BY name, id`).all(),
    getGarden,
    putGarden: (id, input) => {
      const before = getGarden(id)
      db.prepare(
        `INSERT INTO gardens (id, name, latitude_deg, longitude_deg, elevation_m, time_zone)
         VALUES (@id, @name, @latitudeDeg, @longitudeDeg, @elevationM, @timeZone)
         ON CONFLICT (id) DO UPDATE SET name = excluded.name, latitude_deg = excluded.latitude_deg,
           longitude_deg = excluded.longitude_deg, elevation_m = excluded.elevation_m,
           time_zone = excluded.time_zone`,
      ).run({ ...input, id })
      // days are cut, and the sun is computed, by these
      const moved =
        before !== null &&
        (before.latitudeDeg !== input.latitudeDeg ||
          before.longitudeDeg !== input.longitudeDeg ||
          before.elevationM !== input.elevationM ||
          before.timeZone !== input.timeZone)
      if (moved) db.prepare('DELETE FROM day_records WHERE garden = ?').run(id)
      return { id, ...input }
    },

    listBeds: (garden) => db.prepare<[string], Bed>(`${BED} WHERE garden = ? ORDER BY name, id`).all(garden),
    getBed,
    putBed: (garden, id, input) => {
      requireGarden(db, garden)
      db.prepare(
        `INSERT INTO beds (garden, id, name, kind, length_m, width_m, depth_m)
         VALUES (@garden, @id, @name, @kind, @lengthM, @widthM, @depthM)
         ON CONFLICT (garden, id) DO UPDATE SET name = excluded.name, kind = excluded.kind,
           length_m = excluded.length_m, width_m = excluded.width_m, depth_m = excluded.depth_m`,
      ).run({ ...input, garden, id })
      return { id, ...input }
    },
    deleteBed: (garden, bed) => {
      const placements = count('placements', 'bed', garden, bed)
      const plantings = count('plantings', 'bed', garden, bed)
      if (placements + plantings > 0) {
        throw new GardenError(
          'STILL_USED',
          `Bed "${bed}" still has ${inWords(plantings, 'planting')} and ${inWords(placements, 'placement')} of nodes: delete those first.`,
        )
      }
      const entries = count('journal_entries', 'bed', garden, bed)
      if (entries > 0) {
        throw new GardenError(
          'STILL_USED',
          `The journal has ${entries} ${entries === 1 ? 'entry' : 'entries'} about the bed "${bed}": delete those first.`,
        )
      }
      db.prepare('DELETE FROM day_records WHERE garden = ? AND bed = ?').run(garden, bed)
      forgetAnswers(db, garden, `bed-${bed}`)
      return db.prepare('DELETE FROM beds WHERE garden = ? AND id = ?').run(garden, bed).changes > 0
    },

    listNodes: (garden) =>
      db.prepare<[string], Node>(`${NODE} WHERE garden = ? ORDER BY name, id`).all(garden),
    getNode,
    putNode: (garden, id, input) => {
      requireGarden(db, garden)
      db.prepare(
        `INSERT INTO nodes (garden, id, name) VALUES (@garden, @id, @name)
         ON CONFLICT (garden, id) DO UPDATE SET name = excluded.name`,
      ).run({ ...input, garden, id })
      return { id, ...input }
    },
    deleteNode: (garden, node) => {
      const placements = count('placements', 'node', garden, node)
      if (placements > 0) {
        throw new GardenError(
          'STILL_USED',
          `Node "${node}" still has ${inWords(placements, 'placement')}: delete those first, or only end the last one to keep the bed's history.`,
        )
      }
      return db.prepare('DELETE FROM nodes WHERE garden = ? AND id = ?').run(garden, node).changes > 0
    },
  }
}

const inWords = (n: number, thing: string): string => `${n === 0 ? 'no' : n} ${thing}${n === 1 ? '' : 's'}`
