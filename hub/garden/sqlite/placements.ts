/** Placements in SQLite: which node stood in which bed, from when to when. */
import type Database from 'better-sqlite3'
import { isoWithOffset } from '../../../shared/local-time.js'
import { GardenError, type StoredPlacement } from '../port.js'
import { type Answered, requireBed, requireGarden, requireNode } from './answered.js'
import { recordId } from './record-id.js'

const PLACEMENT = 'SELECT id, node, bed, from_ms AS fromMs, to_ms AS toMs FROM placements'

type PlacementMethods = 'listPlacements' | 'addPlacement' | 'changePlacement' | 'deletePlacement'

export function placements(db: Database.Database): Answered<PlacementMethods> {
  const get = (garden: string, id: string): StoredPlacement | undefined =>
    db.prepare<[string, string], StoredPlacement>(`${PLACEMENT} WHERE garden = ? AND id = ?`).get(garden, id)

  /** @throws GardenError  where the placement breaks a rule */
  const check = (garden: string, placement: Omit<StoredPlacement, 'id'>, id: string): void => {
    const { timeZone } = requireGarden(db, garden)
    requireNode(db, garden, placement.node)
    requireBed(db, garden, placement.bed)
    if (placement.toMs !== null && placement.toMs <= placement.fromMs) {
      throw new GardenError('OUT_OF_ORDER', 'A placement must end after it starts.', 'to')
    }
    const other = db
      .prepare<[string, string, string, number, number | null, number | null], StoredPlacement>(
        `${PLACEMENT} WHERE garden = ? AND node = ? AND id <> ?
           AND (to_ms IS NULL OR to_ms > ?) AND (? IS NULL OR from_ms < ?) ORDER BY from_ms LIMIT 1`,
      )
      .get(garden, placement.node, id, placement.fromMs, placement.toMs, placement.toMs)
    if (!other) return
    const from = isoWithOffset(other.fromMs, timeZone)
    throw other.toMs === null
      ? new GardenError(
          'OVERLAP',
          `Node "${placement.node}" stands in bed "${other.bed}" since ${from}: end that placement first.`,
          other.fromMs <= placement.fromMs ? 'from' : 'to',
        )
      : new GardenError(
          'OVERLAP',
          `Node "${placement.node}" stood in bed "${other.bed}" from ${from} to ${isoWithOffset(other.toMs, timeZone)}: a node can be in one bed at a time, choose times that do not overlap.`,
          other.fromMs <= placement.fromMs ? 'from' : 'to',
        )
  }

  const forgetDays = (garden: string, bed: string): void => {
    db.prepare('DELETE FROM day_records WHERE garden = ? AND bed = ?').run(garden, bed)
  }

  return {
    listPlacements: (garden, bed) =>
      db
        .prepare<[string, string | null, string | null], StoredPlacement>(
          `${PLACEMENT} WHERE garden = ? AND (? IS NULL OR bed = ?) ORDER BY bed, from_ms, id`,
        )
        .all(garden, bed ?? null, bed ?? null),

    addPlacement: (garden, { node, bed, fromMs, toMs }) => {
      const placement: StoredPlacement = { id: recordId(), node, bed, fromMs, toMs }
      check(garden, placement, placement.id)
      db.prepare(
        `INSERT INTO placements (id, garden, node, bed, from_ms, to_ms)
         VALUES (@id, @garden, @node, @bed, @fromMs, @toMs)`,
      ).run({ ...placement, garden })
      forgetDays(garden, bed)
      return placement
    },

    changePlacement: (garden, { id, node, bed, fromMs, toMs }) => {
      const before = get(garden, id)
      if (!before) return null
      const placement: StoredPlacement = { id, node, bed, fromMs, toMs }
      check(garden, placement, id)
      db.prepare(
        `UPDATE placements SET node = @node, bed = @bed, from_ms = @fromMs, to_ms = @toMs
         WHERE garden = @garden AND id = @id`,
      ).run({ ...placement, garden })
      forgetDays(garden, before.bed)
      forgetDays(garden, bed)
      return placement
    },

    deletePlacement: (garden, id) => {
      const before = get(garden, id)
      if (!before) return false
      db.prepare('DELETE FROM placements WHERE garden = ? AND id = ?').run(garden, id)
      forgetDays(garden, before.bed)
      return true
    },
  }
}
