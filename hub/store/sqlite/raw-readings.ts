/** Readings of one series out of the database, as columns, with the flags that only their neighbours show. */
import type Database from 'better-sqlite3'
import { contextMs } from '../../core/quality/context-checks.js'
import type { ReadingColumns } from '../../core/readings.js'
import { flaggedRange, reachMs, type WeightedReadings, weightedRange } from '../weighted-readings.js'

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
      return flaggedRange(quantity, columns(seriesId, fromMs - around, toMs + around), fromMs, toMs)
    },
    readWeighted(seriesId, quantity, fromMs, toMs) {
      const around = reachMs(quantity)
      return weightedRange(quantity, columns(seriesId, fromMs - around, toMs + around), fromMs, toMs)
    },
  }
}
