/** A planting's journal on its own page, in short: what can still be seen of it, and which lines are shown. Pure. */
import type { Firmness, JournalKind } from '../../../shared/api/journal.js'
import type { Seen } from '../../../shared/api/progress.js'
import { SEEN } from './planting-words.js'

interface SeenEntry {
  readonly kind: JournalKind
  readonly firmness: Firmness | null
}

const OF_SEEDLINGS: readonly Seen[] = ['emerged', 'first-leaves']

/** Fit to cut is what felt firm. */
export function draftOf(seen: Seen): SeenEntry {
  return seen === 'firm' ? { kind: 'firmness', firmness: 'firm' } : { kind: seen, firmness: null }
}

const says = (entry: SeenEntry, seen: Seen): boolean =>
  seen === 'firm' ? entry.firmness === 'firm' || entry.kind === 'cut' : entry.kind === seen

/** What has not been seen yet; of plants that were set out, nobody asks when they came up. */
export const notYetSeen = (entries: readonly SeenEntry[], isPlantedOut: boolean): readonly Seen[] =>
  SEEN.filter(
    (seen) => !(isPlantedOut && OF_SEEDLINGS.includes(seen)) && !entries.some((entry) => says(entry, seen)),
  )

/** What was written here last, until the hub's own list has it: else it would blink. */
export function withWritten<T extends { readonly id: string }>(
  listed: readonly T[],
  written: readonly T[],
): readonly T[] {
  return [...written.filter(({ id }) => !listed.some((one) => one.id === id)), ...listed]
}
