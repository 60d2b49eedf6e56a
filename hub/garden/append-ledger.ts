/**
 * Which readings are being stored while day records are being computed: a record computed from readings that
 * changed meanwhile must not be kept. In memory only; what a crash could leave behind is prevented by forgetting
 * cached days before the append (bed-measurements.ts).
 */
import type { Reading } from '../store/port.js'

interface Entry {
  /** node → first and last time of its readings */
  readonly spans: ReadonlyMap<string, { readonly fromMs: number; readonly toMs: number }>
  readonly garden: string
  /** null: still under way */
  endedAt: number | null
}

/** A node's readings that a computation looked at. */
export interface NodeSpan {
  readonly node: string
  readonly fromMs: number
  readonly toMs: number
}

export interface Computation {
  /** Has anything within these readings been stored, or begun to be, since the computation began? */
  isOvertaken(garden: string, spans: readonly NodeSpan[]): boolean
  end(): void
}

export interface AppendLedger {
  /** Call before the append; the answer when it has ended, well or badly. */
  beginAppend(readings: readonly Reading[]): () => void
  /** Call before the first look at the store. */
  beginComputation(): Computation
}

export function createAppendLedger(): AppendLedger {
  let tick = 0
  const running = new Set<number>()
  let entries: Entry[] = []

  /** Appends that ended before the oldest running computation began can no longer matter. */
  const prune = (): void => {
    const oldest = running.size > 0 ? Math.min(...running) : tick
    entries = entries.filter((e) => e.endedAt === null || e.endedAt > oldest)
  }

  return {
    beginAppend(readings) {
      const begun = entriesByGarden(readings)
      entries.push(...begun)
      return () => {
        tick++
        for (const entry of begun) entry.endedAt = tick
        prune()
      }
    },
    beginComputation() {
      const startedAt = tick++
      running.add(startedAt)
      return {
        isOvertaken: (garden, spans) =>
          entries.some(
            (e) =>
              e.garden === garden &&
              (e.endedAt === null || e.endedAt > startedAt) &&
              spans.some((s) => {
                const stored = e.spans.get(s.node)
                return stored !== undefined && stored.fromMs <= s.toMs && stored.toMs >= s.fromMs
              }),
          ),
        end: () => {
          running.delete(startedAt)
          prune()
        },
      }
    },
  }
}

function entriesByGarden(readings: readonly Reading[]): Entry[] {
  const gardens = new Map<string, Map<string, { fromMs: number; toMs: number }>>()
  for (const { garden, node, timeMs } of readings) {
    const nodes = gardens.get(garden) ?? new Map<string, { fromMs: number; toMs: number }>()
    gardens.set(garden, nodes)
    const span = nodes.get(node)
    if (!span) nodes.set(node, { fromMs: timeMs, toMs: timeMs })
    else {
      span.fromMs = Math.min(span.fromMs, timeMs)
      span.toMs = Math.max(span.toMs, timeMs)
    }
  }
  return [...gardens].map(([garden, spans]) => ({ garden, spans, endedAt: null }))
}
