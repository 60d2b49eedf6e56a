/**
 * The store port: what the hub asks of any time-series store. Adapters: sqlite/ (embedded, the default);
 * an InfluxDB one fits behind the same contract test (tests/store/contract.ts). May import core and shared.
 */
import type { ReadingColumns } from '../core/readings.js'

export interface Reading {
  readonly garden: string
  readonly node: string
  readonly quantity: string
  /** UTC ms, integer */
  readonly timeMs: number
  /** finite, in the quantity's own unit */
  readonly value: number
  /** flags that the reading itself shows on arrival; those that need neighbours are computed when read */
  readonly flags: number
}

export interface SeriesKey {
  readonly garden: string
  readonly node: string
  readonly quantity: string
}

/** One row a step; steps without good readings have count 0 and NaN in min, mean and max. */
export interface StepColumns {
  readonly stepMs: number
  readonly startMs: Float64Array
  readonly min: Float64Array
  readonly mean: Float64Array
  readonly max: Float64Array
  readonly count: Uint32Array
  /** ms of the step that good readings account for (core/quality/completeness.ts) */
  readonly coveredMs: Float64Array
}

export interface LatestReading extends Reading {
  readonly receivedAtMs: number
}

export interface SeriesSummary extends SeriesKey {
  readonly count: number
  readonly firstMs: number
  readonly lastMs: number
}

export interface ReadingStore {
  /**
   * Stores readings; they are durable (synced to disk) when the promise resolves. Idempotent: the key is
   * (garden, node, quantity, time), the first value stays, and a second delivery counts as `repeated`.
   */
  append(readings: readonly Reading[], receivedAtMs: number): Promise<{ stored: number; repeated: number }>
  /** Readings with fromMs <= time < toMs, ascending, with contextual flags merged in. */
  readRange(series: SeriesKey, fromMs: number, toMs: number): Promise<ReadingColumns>
  /** How many readings lie in a range (cheap: decides between raw and steps). */
  countRange(series: SeriesKey, fromMs: number, toMs: number): Promise<number>
  /** Good readings per step of stepMs, steps starting at fromMs; whole hours come from roll-ups. */
  readSteps(series: SeriesKey, fromMs: number, toMs: number, stepMs: number): Promise<StepColumns>
  /** Newest reading of every series of a garden (flagged or not, but never one flagged `clock`). */
  latest(garden: string): Promise<LatestReading[]>
  listSeries(garden: string): Promise<SeriesSummary[]>
  /** Deletes readings with fromMs <= time < toMs; returns how many. */
  deleteRange(series: SeriesKey, fromMs: number, toMs: number): Promise<number>
  close(): Promise<void>
}

/** A store that cannot do its work now. `retryable` says whether trying again later can help. */
export class StoreError extends Error {
  constructor(
    readonly code: 'STORE_UNAVAILABLE' | 'STORE_FULL' | 'STORE_CORRUPT' | 'STORE_CLOSED',
    message: string,
    readonly retryable: boolean,
    options?: { cause?: unknown },
  ) {
    super(message, options)
    this.name = 'StoreError'
  }
}
