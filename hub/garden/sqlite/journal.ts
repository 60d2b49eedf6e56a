/** The journal in SQLite: entries, what was taken back, photos. An entry is there once, however often it is sent. */
import type Database from 'better-sqlite3'
import type { JournalEntry, JournalInput, JournalPhoto } from '../../../shared/api/journal.js'
import type { JournalRepository, StoredPhoto } from '../journal-port.js'
import { GardenError } from '../port.js'
import { type Answered, requireBed, requireGarden } from './answered.js'
import { plantingDates } from './planting-dates.js'

/** Photos that one entry can have. */
const MOST_PHOTOS = 6

type JournalMethods = Exclude<
  keyof JournalRepository,
  | 'taskAnswers'
  | 'putTaskAnswer'
  | 'deleteTaskAnswer'
  | 'calendarLinks'
  | 'addCalendarLink'
  | 'deleteCalendarLink'
>

type Row = Omit<JournalEntry, 'photos' | 'writtenAt'> & { readonly writtenAtMs: number }

const ENTRY = `SELECT e.id, e.kind, e.done_on AS "on", e.planting, e.bed, e.plants, e.firmness, e.stem_mm AS stemMm,
  e.weight_kg AS weightKg, e.diameter_mm AS diameterMm, e.what, e.note, e.written_at_ms AS writtenAtMs
  FROM journal_entries e`
const PHOTO = 'SELECT id, media_type AS mediaType, length(image) AS bytes FROM journal_photos'

export function journal(db: Database.Database): Answered<JournalMethods> {
  const photosOf = db.prepare<[string], JournalPhoto>(`${PHOTO} WHERE entry = ? ORDER BY rowid`)
  const asEntry = ({ writtenAtMs, ...row }: Row): JournalEntry => ({
    ...row,
    photos: photosOf.all(row.id),
    writtenAt: new Date(writtenAtMs).toISOString(),
  })
  const find = db.prepare<[string, string], Row>(`${ENTRY} WHERE e.garden = ? AND e.id = ?`)
  const get = (garden: string, id: string): JournalEntry | null => {
    const row = find.get(garden, id)
    return row ? asEntry(row) : null
  }
  const removal = db.prepare<[string, string]>('SELECT 1 FROM journal_removals WHERE garden = ? AND id = ?')
  const isRemoved = (garden: string, id: string): boolean => removal.get(garden, id) !== undefined

  const dates = plantingDates(db)
  /** @throws GardenError  UNKNOWN_GARDEN, UNKNOWN_PLANTING, UNKNOWN_BED */
  const requirePlace = (garden: string, { planting, bed }: JournalInput): void => {
    requireGarden(db, garden)
    if (bed !== null) requireBed(db, garden, bed)
    if (planting === null) return
    if (!db.prepare('SELECT 1 FROM plantings WHERE garden = ? AND id = ?').get(garden, planting)) {
      throw new GardenError('UNKNOWN_PLANTING', 'This planting is not there any more.', 'planting')
    }
  }

  return {
    listJournal: (garden, { planting, bed, from, to } = {}) =>
      db
        .prepare<[Record<string, string | null>], Row>(
          `${ENTRY} LEFT JOIN plantings p ON p.id = e.planting
           WHERE e.garden = @garden AND (@planting IS NULL OR e.planting = @planting)
             AND (@bed IS NULL OR coalesce(p.bed, e.bed) = @bed)
             AND (@from IS NULL OR e.done_on >= @from) AND (@to IS NULL OR e.done_on <= @to)
           ORDER BY e.done_on, e.written_at_ms, e.id`,
        )
        .all({
          garden,
          planting: planting ?? null,
          bed: bed ?? null,
          from: from ?? null,
          to: to ?? null,
        })
        .map(asEntry),
    getJournalEntry: get,
    isJournalRemoved: isRemoved,

    writeJournal: (garden, id, input, writtenAtMs) => {
      if (isRemoved(garden, id)) return { state: 'removed' }
      const known = get(garden, id)
      if (known) return { state: 'known', entry: known }
      // ids are made by pages, one for all gardens
      if (db.prepare('SELECT 1 FROM journal_entries WHERE id = ?').get(id)) {
        throw new GardenError('ID_TAKEN', 'This id belongs to an entry of another garden.', 'id')
      }
      requirePlace(garden, input)
      const dateBefore = dates.enter(garden, id, input)
      db.prepare(
        `INSERT INTO journal_entries (id, garden, kind, done_on, planting, bed, plants, firmness, stem_mm,
           weight_kg, diameter_mm, what, note, written_at_ms, date_before)
         VALUES (@id, @garden, @kind, @on, @planting, @bed, @plants, @firmness, @stemMm,
           @weightKg, @diameterMm, @what, @note, @writtenAtMs, @dateBefore)`,
      ).run({ ...input, id, garden, writtenAtMs, dateBefore })
      const entry: JournalEntry = { id, ...input, photos: [], writtenAt: new Date(writtenAtMs).toISOString() }
      return { state: 'new', entry }
    },
    changeJournal: (garden, id, input) => {
      const before = get(garden, id)
      if (!before) return null
      requirePlace(garden, input)
      dates.leave(garden, id, before)
      const dateBefore = dates.enter(garden, id, input)
      db.prepare(
        `UPDATE journal_entries SET kind = @kind, done_on = @on, planting = @planting, bed = @bed, plants = @plants,
           firmness = @firmness, stem_mm = @stemMm, weight_kg = @weightKg, diameter_mm = @diameterMm, what = @what,
           note = @note, date_before = @dateBefore
         WHERE garden = @garden AND id = @id`,
      ).run({ ...input, garden, id, dateBefore })
      return { ...before, ...input }
    },
    removeJournal: (garden, id, removedAtMs) => {
      requireGarden(db, garden)
      db.prepare(
        `INSERT INTO journal_removals (garden, id, removed_at_ms) VALUES (?, ?, ?)
         ON CONFLICT DO NOTHING`,
      ).run(garden, id, removedAtMs)
      const entry = get(garden, id)
      if (entry) dates.leave(garden, id, entry)
      return db.prepare('DELETE FROM journal_entries WHERE garden = ? AND id = ?').run(garden, id).changes > 0
    },

    putJournalPhoto: (garden, entry, { id, mediaType, image }) => {
      const kept = get(garden, entry)
      if (!kept) return false
      if (kept.photos.some((photo) => photo.id === id)) return true
      if (db.prepare('SELECT 1 FROM journal_photos WHERE id = ?').get(id)) {
        throw new GardenError('ID_TAKEN', 'This id belongs to a photo of another entry.', 'photo')
      }
      if (kept.photos.length >= MOST_PHOTOS) {
        throw new GardenError('TOO_MANY_PHOTOS', `An entry has at most ${MOST_PHOTOS} photos.`, 'photo')
      }
      db.prepare('INSERT INTO journal_photos (id, entry, media_type, image) VALUES (?, ?, ?, ?)').run(
        id,
        entry,
        mediaType,
        image,
      )
      return true
    },
    journalPhoto: (garden, entry, photo) =>
      db
        .prepare<[string, string, string], StoredPhoto>(
          `SELECT f.id, f.media_type AS mediaType, f.image FROM journal_photos f
           JOIN journal_entries e ON e.id = f.entry WHERE e.garden = ? AND e.id = ? AND f.id = ?`,
        )
        .get(garden, entry, photo) ?? null,
    deleteJournalPhoto: (garden, entry, photo) =>
      db
        .prepare(
          `DELETE FROM journal_photos WHERE id = ? AND entry = ?
           AND EXISTS (SELECT 1 FROM journal_entries e WHERE e.id = entry AND e.garden = ?)`,
        )
        .run(photo, entry, garden).changes > 0,
  }
}
