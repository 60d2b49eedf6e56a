/**
 * Readings of a range as callers want them: with the flags that only their neighbours show, and with the time each
 * accounts for. Pure; shared by the store's adapters, which fetch the neighbours' rows too.
 */
import { maxHoldMs } from '../../shared/quantities.js'
import { holdWeights } from '../core/quality/completeness.js'
import { contextFlags, contextMs } from '../core/quality/context-checks.js'
import type { ReadingColumns } from '../core/readings.js'

export const HOUR_MS = 3_600_000

export interface WeightedReadings extends ReadingColumns {
  /** time each reading accounts for, ms; 0 for a bad one */
  readonly weightMs: Float64Array
}

/** How far away a reading can still bear on the flags or the weight of another, ms. */
export const reachMs = (quantity: string): number => Math.max(contextMs(quantity), maxHoldMs(quantity))

/** The same in whole hours: an hour's roll-up depends on readings at most this many hours away. */
export const reachHours = (quantity: string): number => Math.ceil(reachMs(quantity) / HOUR_MS)

/** @param wide  the range with contextMs(quantity) of readings on either side, flags as stored */
export function flaggedRange(
  quantity: string,
  wide: ReadingColumns,
  fromMs: number,
  toMs: number,
): ReadingColumns {
  const flags = contextFlags(quantity, wide)
  const from = lowerBound(wide.timeMs, fromMs)
  const to = lowerBound(wide.timeMs, toMs)
  return {
    timeMs: wide.timeMs.slice(from, to),
    value: wide.value.slice(from, to),
    flags: flags.slice(from, to),
  }
}

/** @param wide  the range with reachMs(quantity) of readings on either side, flags as stored */
export function weightedRange(
  quantity: string,
  wide: ReadingColumns,
  fromMs: number,
  toMs: number,
): WeightedReadings {
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
