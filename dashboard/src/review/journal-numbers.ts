/** The days of a planting's journal, numbered: the number on the time axis leads to the line in the list. Pure. */
import type { JournalEntry } from '../../../shared/api/journal.js'
import type { ReviewPlanting } from '../../../shared/api/review.js'
import { byDay } from '../journal/by-day.js'

export interface JournalDay {
  readonly number: number
  readonly on: string
  readonly entries: readonly JournalEntry[]
}

export function journalDates({ journal }: Pick<ReviewPlanting, 'journal'>): JournalDay[] {
  return byDay(journal)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([on, entries], i) => ({ number: i + 1, on, entries }))
}
