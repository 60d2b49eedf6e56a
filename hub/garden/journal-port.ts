/** The grower's season as kept: journal and photos, answers to tasks, calendar links. Part of port.ts. */
import type { JournalEntry, JournalInput, JournalPhoto } from '../../shared/api/journal.js'

export interface JournalFilter {
  readonly planting?: string | undefined
  readonly bed?: string | undefined
  /** local dates, both included */
  readonly from?: string | undefined
  readonly to?: string | undefined
}

export interface StoredPhoto {
  readonly id: string
  readonly mediaType: JournalPhoto['mediaType']
  readonly image: Uint8Array
}

/** 'known': it was there before and stays as it is; 'removed': it was taken back, and stays so. */
export type Written =
  | { readonly state: 'new' | 'known'; readonly entry: JournalEntry }
  | { readonly state: 'removed' }

/** Not now, or (untilOn null) never. */
export interface TaskAnswer {
  readonly task: string
  /** the task is asked again from this local date on */
  readonly untilOn: string | null
  readonly answeredAtMs: number
}

export interface CalendarLink {
  readonly id: string
  readonly name: string
  /** SHA-256 of the key in its address, hex */
  readonly digest: string
  readonly createdAtMs: number
}

export interface JournalRepository {
  /** by date, then by when they were written */
  listJournal(garden: string, filter?: JournalFilter): Promise<JournalEntry[]>
  getJournalEntry(garden: string, id: string): Promise<JournalEntry | null>
  /** was an entry of this id taken back? */
  isJournalRemoved(garden: string, id: string): Promise<boolean>
  /**
   * Writes an entry once, however often it is sent. 'sown' and 'planted-out' also set that date of the planting.
   *
   * @throws GardenError  UNKNOWN_PLANTING, UNKNOWN_BED, OUT_OF_ORDER (on the field at fault); ID_TAKEN: the id is that
   *   of an entry of another garden
   */
  writeJournal(garden: string, id: string, input: JournalInput, writtenAtMs: number): Promise<Written>
  /** null: there is none such. Throws as writeJournal does. */
  changeJournal(garden: string, id: string, input: JournalInput): Promise<JournalEntry | null>
  /** false: there was none; the id stays taken back all the same */
  removeJournal(garden: string, id: string, removedAtMs: number): Promise<boolean>

  /**
   * Puts a photo to an entry, once. false: there is no such entry
   *
   * @throws GardenError  TOO_MANY_PHOTOS; ID_TAKEN: the id is that of a photo of another entry
   */
  putJournalPhoto(garden: string, entry: string, photo: StoredPhoto): Promise<boolean>
  journalPhoto(garden: string, entry: string, photo: string): Promise<StoredPhoto | null>
  deleteJournalPhoto(garden: string, entry: string, photo: string): Promise<boolean>

  taskAnswers(garden: string): Promise<TaskAnswer[]>
  putTaskAnswer(garden: string, answer: TaskAnswer): Promise<void>
  deleteTaskAnswer(garden: string, task: string): Promise<boolean>

  calendarLinks(garden: string): Promise<CalendarLink[]>
  addCalendarLink(garden: string, link: CalendarLink): Promise<void>
  deleteCalendarLink(garden: string, id: string): Promise<boolean>
}
