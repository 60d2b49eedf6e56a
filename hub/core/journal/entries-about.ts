/** Which entries of a garden's journal are about a planting. */
import type { Planting } from '../../../shared/api/garden.js'
import type { JournalEntry } from '../../../shared/api/journal.js'

/** Its own, and those of its whole bed while it stood there, in the order given. */
export function entriesAbout(planting: Planting, journal: readonly JournalEntry[]): JournalEntry[] {
  const { sownOn, plantedOutOn, finishedOn } = planting
  const began = plantedOutOn ?? sownOn
  return journal.filter(
    (entry) =>
      entry.planting === planting.id ||
      (entry.planting === null &&
        entry.bed === planting.bed &&
        began !== null &&
        entry.on >= began &&
        (finishedOn === null || entry.on <= finishedOn)),
  )
}
