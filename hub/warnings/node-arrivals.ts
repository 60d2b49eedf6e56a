/**
 * How a node's packs come in, as seen since the hub started: how far apart, and whether its clock can be right.
 * In memory: after a restart it is soon known again.
 */
import { FLAG } from '../../shared/quality-flags.js'
import type { StoredReadings } from '../ingest/stored-readings.js'
import type { WrongClock } from './rule.js'

/** The usual gap is taken over this many packs. */
const GAPS = 8

interface Arrivals {
  lastMs: number
  readonly gapsMs: number[]
  wrongClock: WrongClock | null
}

export interface NodeArrivals {
  note(stored: StoredReadings): void
  /** Usual time between packs, ms; null: too few yet. */
  gapMs(garden: string, node: string): number | null
  /** Readings in a row that came with a wrong clock; null: the last pack had a right one. */
  wrongClock(garden: string, node: string): WrongClock | null
}

export function createNodeArrivals(): NodeArrivals {
  const nodes = new Map<string, Arrivals>()
  return {
    note({ readings, receivedAtMs }) {
      const packs = new Map<string, { count: number; wrong: number; wrongTimeMs: number }>()
      for (const { garden, node, flags, timeMs } of readings) {
        const key = `${garden}/${node}`
        const pack = packs.get(key) ?? { count: 0, wrong: 0, wrongTimeMs: 0 }
        packs.set(key, pack)
        pack.count++
        if ((flags & FLAG.clock) === 0) continue
        pack.wrong++
        pack.wrongTimeMs = timeMs
      }
      for (const [key, { count, wrong, wrongTimeMs }] of packs) {
        const known = nodes.get(key)
        const arrivals = known ?? { lastMs: receivedAtMs, gapsMs: [], wrongClock: null }
        nodes.set(key, arrivals)
        if (known) {
          known.gapsMs.push(receivedAtMs - known.lastMs)
          if (known.gapsMs.length > GAPS) known.gapsMs.shift()
          known.lastMs = receivedAtMs
        }
        // an old backlog among good readings is not a wrong clock
        arrivals.wrongClock =
          wrong < count
            ? null
            : {
                count: (arrivals.wrongClock?.count ?? 0) + wrong,
                lastReceivedAtMs: receivedAtMs,
                lastTimeMs: wrongTimeMs,
              }
      }
    },
    gapMs(garden, node) {
      const gaps = nodes.get(`${garden}/${node}`)?.gapsMs ?? []
      if (gaps.length < 3) return null
      return [...gaps].sort((a, b) => a - b)[gaps.length >> 1]!
    },
    wrongClock: (garden, node) => nodes.get(`${garden}/${node}`)?.wrongClock ?? null,
  }
}
