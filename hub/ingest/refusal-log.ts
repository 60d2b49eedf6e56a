/** What was turned away, counted by node and reason, the latest kept; in memory, since the hub started. */
import type { Refusal, RefusalReason } from './stored-readings.js'

export interface NodeRefusals {
  readonly total: number
  readonly byReason: Readonly<Partial<Record<RefusalReason, number>>>
  readonly latest: Refusal | null
}

export interface RefusalLog {
  add(refusal: Refusal): void
  /** node null: packs whose topic did not name one */
  of(garden: string, node: string | null): NodeRefusals
  /** nodes of a garden that had a pack refused */
  nodes(garden: string): string[]
  /** all gardens together */
  totals(): Readonly<Partial<Record<RefusalReason, number>>>
}

/** Anyone who can publish can make up node names; beyond this many they share one entry. */
const MOST_NODES = 2_000

interface Entry {
  total: number
  byReason: Partial<Record<RefusalReason, number>>
  latest: Refusal | null
}

const count = (counts: Partial<Record<RefusalReason, number>>, reason: RefusalReason): void => {
  counts[reason] = (counts[reason] ?? 0) + 1
}

export function createRefusalLog(): RefusalLog {
  const entries = new Map<string, Entry>()
  const totals: Partial<Record<RefusalReason, number>> = {}
  const keyOf = (garden: string, node: string | null): string => `${garden}/${node ?? ''}`

  return {
    add(refusal) {
      count(totals, refusal.reason)
      let key = keyOf(refusal.garden, refusal.node)
      if (!entries.has(key) && entries.size >= MOST_NODES) key = keyOf(refusal.garden, null)
      if (!entries.has(key) && entries.size >= 2 * MOST_NODES) key = keyOf('', null)
      let entry = entries.get(key)
      if (!entry) {
        entry = { total: 0, byReason: {}, latest: null }
        entries.set(key, entry)
      }
      entry.total++
      count(entry.byReason, refusal.reason)
      entry.latest = refusal
    },
    of(garden, node) {
      const entry = entries.get(keyOf(garden, node))
      return entry
        ? { total: entry.total, byReason: { ...entry.byReason }, latest: entry.latest }
        : { total: 0, byReason: {}, latest: null }
    },
    nodes(garden) {
      const start = `${garden}/`
      return [...entries.keys()]
        .filter((key) => key.startsWith(start) && key.length > start.length)
        .map((key) => key.slice(start.length))
    },
    totals: () => ({ ...totals }),
  }
}
