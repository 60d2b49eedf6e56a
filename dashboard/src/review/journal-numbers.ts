/** The days of a planting's journal, numbered: the number on the time axis leads to the line in the list. Pure. */
import type { JournalEntry } from '../../../shared/api/journal.js'
import type { ReviewPlanting } from '../../../shared/api/review.js'

export interface JournalDay {
  readonly number: number
  readonly on: string
  readonly entries: readonly JournalEntry[]
}

export function journalDates({ journal }: Pick<ReviewPlanting, 'journal'>): JournalDay[] {
  const byDate = new Map<string, JournalEntry[]>()
  for (const entry of journal) {
    const same = byDate.get(entry.on)
    if (same === undefined) byDate.set(entry.on, [entry])
    else same.push(entry)
  }
  return [...byDate]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([on, entries], i) => ({ number: i + 1, on, entries }))
}
