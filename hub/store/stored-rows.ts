/** Readings exactly as a store keeps them, for copying from one store to another. */
import type { ReadingStore, SeriesKey } from './port.js'

/** One series, ascending; flags as they were on arrival, and how long after measuring each came. */
export interface StoredRows {
  readonly timeMs: Float64Array
  readonly value: Float64Array
  readonly flags: Uint16Array
  readonly delayMs: Float64Array
}

/** A store whose readings can be copied exactly. */
export interface CopyableStore extends ReadingStore {
  listGardens(): Promise<string[]>
  /** fromMs <= time < toMs, nothing added and nothing left out */
  readStored(series: SeriesKey, fromMs: number, toMs: number): Promise<StoredRows>
  /** As `append`, with the time of arrival of each. */
  appendStored(series: SeriesKey, rows: StoredRows): Promise<{ stored: number; repeated: number }>
  /** Resolves when what was appended is where it belongs, and its roll-ups are made. */
  settleCopies(): Promise<void>
}

export const emptyRows = (n: number): StoredRows => ({
  timeMs: new Float64Array(n),
  value: new Float64Array(n),
  flags: new Uint16Array(n),
  delayMs: new Float64Array(n),
})

export const sliceRows = (rows: StoredRows, from: number, to: number): StoredRows => ({
  timeMs: rows.timeMs.slice(from, to),
  value: rows.value.slice(from, to),
  flags: rows.flags.slice(from, to),
  delayMs: rows.delayMs.slice(from, to),
})
