/**
 * Dates of plantings that the journal sets: 'sown' and 'planted-out' are that date of their planting, of several the
 * earliest. Taken back, the date is again what it was before them (a plan, say), unless the grower has typed another since.
 */
import type Database from 'better-sqlite3'
import type { Planting } from '../../../shared/api/garden.js'
import type { JournalInput } from '../../../shared/api/journal.js'
import { GardenError } from '../port.js'
import { checkDates } from './plantings.js'

type Dates = Pick<Planting, 'sownOn' | 'plantedOutOn' | 'finishedOn'>
type DatedEntry = Pick<JournalInput, 'kind' | 'planting'>

interface Dated {
  readonly field: 'sownOn' | 'plantedOutOn'
  readonly column: 'sown_on' | 'planted_out_on'
}

function dated({ kind }: DatedEntry): Dated | null {
  if (kind === 'sown') return { field: 'sownOn', column: 'sown_on' }
  return kind === 'planted-out' ? { field: 'plantedOutOn', column: 'planted_out_on' } : null
}

export interface PlantingDates {
  /**
   * Before an entry is kept.
   *
   * @returns the planting's date before there were such entries, to be kept with it
   * @throws GardenError  OUT_OF_ORDER, on the field `on`
   */
  enter(garden: string, id: string, entry: DatedEntry & Pick<JournalInput, 'on'>): string | null
  /** Before a kept entry goes. */
  leave(garden: string, id: string, entry: DatedEntry): void
}

export function plantingDates(db: Database.Database): PlantingDates {
  const datesOf = (garden: string, planting: string): Dates | undefined =>
    db
      .prepare<[string, string], Dates>(
        `SELECT sown_on AS sownOn, planted_out_on AS plantedOutOn, finished_on AS finishedOn
         FROM plantings WHERE garden = ? AND id = ?`,
      )
      .get(garden, planting)

  const put = (garden: string, planting: string, { column }: Dated, date: string | null): void => {
    db.prepare(`UPDATE plantings SET ${column} = ? WHERE garden = ? AND id = ?`).run(date, garden, planting)
  }

  const kept = (planting: string, kind: string): { id: string; on: string; dateBefore: string | null }[] =>
    db
      .prepare<[string, string], { id: string; on: string; dateBefore: string | null }>(
        `SELECT id, done_on AS "on", date_before AS dateBefore FROM journal_entries
         WHERE planting = ? AND kind = ? ORDER BY done_on, id`,
      )
      .all(planting, kind)

  return {
    enter(garden, id, entry) {
      const what = dated(entry)
      if (what === null || entry.planting === null) return null
      const dates = datesOf(garden, entry.planting)
      if (!dates)
        throw new GardenError('UNKNOWN_PLANTING', 'This planting is not there any more.', 'planting')
      const first = kept(entry.planting, entry.kind).find((other) => other.id !== id)
      const date = first !== undefined && first.on < entry.on ? first.on : entry.on
      checkDates({ ...dates, [what.field]: date }, 'on')
      put(garden, entry.planting, what, date)
      return first === undefined ? dates[what.field] : first.dateBefore
    },

    leave(garden, id, entry) {
      const what = dated(entry)
      if (what === null || entry.planting === null) return
      const dates = datesOf(garden, entry.planting)
      const all = kept(entry.planting, entry.kind)
      const leaving = all.find((one) => one.id === id)
      if (!dates || !leaving || dates[what.field] !== all[0]?.on) return
      const next = all.find((one) => one.id !== id)
      const date = next === undefined ? leaving.dateBefore : next.on
      // a plan that what was done since has overtaken is no date any more
      if (isInOrder({ ...dates, [what.field]: date })) put(garden, entry.planting, what, date)
    },
  }
}

/** … and it has begun at all. */
function isInOrder(dates: Dates): boolean {
  const { sownOn, plantedOutOn, finishedOn } = dates
  const began = sownOn ?? plantedOutOn
  if (began === null) return false
  if (plantedOutOn !== null && plantedOutOn < began) return false
  return finishedOn === null || finishedOn >= (plantedOutOn ?? began)
}
