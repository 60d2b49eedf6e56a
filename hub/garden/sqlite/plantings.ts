/** Plantings in SQLite: a crop in a bed, with its dates. */
import type Database from 'better-sqlite3'
import type { Planting, PlantingInput } from '../../../shared/api/garden.js'
import { GardenError } from '../port.js'
import { type Answered, requireBed, requireGarden } from './answered.js'
import { recordId } from './record-id.js'
import { forgetAnswers } from './season-answers.js'

const PLANTING = `SELECT id, bed, crop, variety, sown_on AS sownOn, planted_out_on AS plantedOutOn,
  plants, spacing_m AS spacingM, finished_on AS finishedOn FROM plantings`

type PlantingMethods = 'listPlantings' | 'getPlanting' | 'addPlanting' | 'changePlanting' | 'deletePlanting'

export function plantings(db: Database.Database): Answered<PlantingMethods> {
  const get = (garden: string, id: string): Planting | null =>
    db.prepare<[string, string], Planting>(`${PLANTING} WHERE garden = ? AND id = ?`).get(garden, id) ?? null

  const check = (garden: string, input: PlantingInput): void => {
    requireGarden(db, garden)
    requireBed(db, garden, input.bed)
    checkDates(input)
  }

  return {
    listPlantings: (garden, bed) =>
      db
        .prepare<[string, string | null, string | null], Planting>(
          `${PLANTING} WHERE garden = ? AND (? IS NULL OR bed = ?)
           ORDER BY bed, coalesce(sown_on, planted_out_on), id`,
        )
        .all(garden, bed ?? null, bed ?? null),
    getPlanting: get,
    addPlanting: (garden, input) => {
      check(garden, input)
      const planting: Planting = { id: recordId(), ...input }
      db.prepare(
        `INSERT INTO plantings
           (id, garden, bed, crop, variety, sown_on, planted_out_on, plants, spacing_m, finished_on)
         VALUES
           (@id, @garden, @bed, @crop, @variety, @sownOn, @plantedOutOn, @plants, @spacingM, @finishedOn)`,
      ).run({ ...planting, garden })
      return planting
    },
    changePlanting: (garden, id, input) => {
      if (!get(garden, id)) return null
      check(garden, input)
      db.prepare(
        `UPDATE plantings SET bed = @bed, crop = @crop, variety = @variety, sown_on = @sownOn,
           planted_out_on = @plantedOutOn, plants = @plants, spacing_m = @spacingM, finished_on = @finishedOn
         WHERE garden = @garden AND id = @id`,
      ).run({ ...input, garden, id })
      return { id, ...input }
    },
    deletePlanting: (garden, id, { withJournal, atMs }) => {
      const entries = db
        .prepare<[string, string], string>('SELECT id FROM journal_entries WHERE garden = ? AND planting = ?')
        .pluck()
        .all(garden, id)
      if (entries.length > 0 && !withJournal) {
        throw new GardenError(
          'STILL_USED',
          `The journal has ${entries.length} ${entries.length === 1 ? 'entry' : 'entries'} about this planting. To say that it is over, finish it; deleted, it takes them with it.`,
        )
      }
      // a phone that still has one of them to send must not bring it back
      const remove = db.prepare(
        'INSERT INTO journal_removals (garden, id, removed_at_ms) VALUES (?, ?, ?) ON CONFLICT DO NOTHING',
      )
      for (const entry of entries) remove.run(garden, entry, atMs)
      forgetAnswers(db, garden, id)
      return db.prepare('DELETE FROM plantings WHERE garden = ? AND id = ?').run(garden, id).changes > 0
    },
  }
}

type PlantingDates = Pick<Planting, 'sownOn' | 'plantedOutOn' | 'finishedOn'>

/**
 * @param field  the field to blame; left out: that of the later date
 * @throws GardenError  OUT_OF_ORDER
 */
export function checkDates({ sownOn, plantedOutOn, finishedOn }: PlantingDates, field?: string): void {
  // calendar dates as text sort as dates
  if (sownOn && plantedOutOn && plantedOutOn < sownOn) {
    throw new GardenError(
      'OUT_OF_ORDER',
      `Planted out on ${plantedOutOn}, before it was sown on ${sownOn}: check both dates.`,
      field ?? 'plantedOutOn',
    )
  }
  if (!finishedOn) return
  const started = plantedOutOn ?? sownOn
  if (started && finishedOn < started) {
    throw new GardenError(
      'OUT_OF_ORDER',
      `Finished on ${finishedOn}, before it was ${plantedOutOn ? 'planted out' : 'sown'} on ${started}: check both dates.`,
      field ?? 'finishedOn',
    )
  }
}
