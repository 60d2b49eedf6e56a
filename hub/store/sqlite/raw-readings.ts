/** Readings of one series out of the database, as columns, with the flags that only their neighbours show. */
import type Database from 'better-sqlite3'
import { maxHoldMs } from '../../../shared/quantities.js'
import { holdWeights } from '../../core/quality/completeness.js'
import { contextFlags, contextMs } from '../../core/quality/context-checks.js'
import type { ReadingColumns } from '../../core/readings.js'
import { HOUR_MS } from './readings-schema.js'

export interface WeightedReadings extends ReadingColumns {
  /** time each reading accounts for, ms; 0 for a bad one */
  readonly weightMs: Float64Array
}

/** How far away a reading can still bear on the flags or the weight of another, ms. */
export const reachMs = (quantity: string): number => Math.max(contextMs(quantity), maxHoldMs(quantity))

/** The same in whole hours: an hour's roll-up depends on readings at most this many hours away. */
export const reachHours = (quantity: string): number => Math.ceil(reachMs(quantity) / HOUR_MS)

export interface RawReader {
  /** fromMs <= time < toMs, with contextual flags */
  read(seriesId: number, quantity: string, fromMs: number, toMs: number): ReadingColumns
  /** the same, with weights */
  readWeighted(seriesId: number, quantity: string, fromMs: number, toMs: number): WeightedReadings
}

type Row = [timeMs: number, value: number, flags: number]

export function createRawReader(db: Database.Database): RawReader {
  const rows = db
    .prepare<[number, number, number], Row>(
      'SELECT time_ms, value, flags FROM reading WHERE series_id = ? AND time_ms >= ? AND time_ms < ? ORDER BY time_ms',
    )
    .raw()

  function columns(seriesId: number, fromMs: number, toMs: number): ReadingColumns {
    const found = rows.all(seriesId, fromMs, toMs)
    const n = found.length
    const timeMs = new Float64Array(n)
    const value = new Float64Array(n)
    const flags = new Uint16Array(n)
    for (let i = 0; i < n; i++) {
      const row = found[i]!
      timeMs[i] = row[0]
      value[i] = row[1]
      flags[i] = row[2]
    }
    return { timeMs, value, flags }
  }

  return {
    read(seriesId, quantity, fromMs, toMs) {
      const around = contextMs(quantity)
      const wide = columns(seriesId, fromMs - around, toMs + around)
      const flags = contextFlags(quantity, wide)
      const from = lowerBound(wide.timeMs, fromMs)
      const to = lowerBound(wide.timeMs, toMs)
      return {
        timeMs: wide.timeMs.slice(from, to),
        value: wide.value.slice(from, to),
        flags: flags.slice(from, to),
      }
    },
    readWeighted(seriesId, quantity, fromMs, toMs) {
      const around = reachMs(quantity)
      const wide = columns(seriesId, fromMs - around, toMs + around)
      const flags = contextFlags(quantity, wide)
      const weightMs = holdWeights(wide.timeMs, flags, maxHoldMs(quantity))
      const from = lowerBound(wide.timeMs, fromMs)
      const to = lowerBound(wide.timeMs, toMs)
      return {
        timeMs: wide.timeMs.subarray(from, to),
        value: wide.value.subarray(from, to),
        flags: flags.subarray(from, to),
        weightMs: weightMs.subarray(from, to),
      }
    },
  }
}

/** Index of the first time that is not before `atMs`. */
export function lowerBound(timeMs: Float64Array, atMs: number): number {
  let low = 0
  let high = timeMs.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (timeMs[middle]! < atMs) low = middle + 1
    else high = middle
  }
  return low
}
