/** The readings of one day of a temperature series, each with the time it accounts for. */
import type { LocalDay } from '../../../shared/local-time.js'
import { isGood } from '../../../shared/quality-flags.js'
import { maxHoldMs } from '../../../shared/quantities.js'
import { coverage, holdWeights } from '../quality/completeness.js'
import type { ReadingColumns } from '../readings.js'

export interface DayTemperatures {
  /** readings of the day, bad ones too (their weight is 0) */
  readonly valueC: Float64Array
  /** time each accounts for, ms */
  readonly weightsMs: Float64Array
  /** of good readings; null: there are none */
  readonly minC: number | null
  readonly maxC: number | null
  /** weighted by time */
  readonly meanC: number | null
  /** part of the day's elapsed time that good readings account for, 0 to 1 */
  readonly coverage: number
}

/**
 * Cuts a day out of a series. A reading belongs wholly to the day its time stamp falls on.
 *
 * @param readings  ascending, reaching at least one reading beyond the day on either side where there is one
 */
export function dayTemperatures(
  quantity: string,
  readings: ReadingColumns,
  day: LocalDay,
  nowMs: number,
): DayTemperatures {
  const { timeMs } = readings
  const from = firstAtOrAfter(timeMs, day.startMs)
  const to = firstAtOrAfter(timeMs, day.endMs)
  // one reading of context each side is all that weights look at
  const edge = Math.max(0, from - 1)
  const weightsMs = holdWeights(
    timeMs.subarray(edge, to + 1),
    readings.flags.subarray(edge, to + 1),
    maxHoldMs(quantity),
  ).subarray(from - edge, to - edge)
  const valueC = readings.value.subarray(from, to)

  let minC = Number.POSITIVE_INFINITY
  let maxC = Number.NEGATIVE_INFINITY
  let sum = 0
  let coveredMs = 0
  for (let i = 0; i < valueC.length; i++) {
    if (!isGood(readings.flags[from + i]!)) continue
    const v = valueC[i]!
    if (v < minC) minC = v
    if (v > maxC) maxC = v
    sum += v * weightsMs[i]!
    coveredMs += weightsMs[i]!
  }
  const elapsedMs = Math.min(day.endMs, nowMs) - day.startMs
  const isEmpty = coveredMs === 0
  return {
    valueC,
    weightsMs,
    minC: isEmpty ? null : minC,
    maxC: isEmpty ? null : maxC,
    meanC: isEmpty ? null : sum / coveredMs,
    coverage: coverage(coveredMs, elapsedMs),
  }
}

function firstAtOrAfter(timeMs: Float64Array, ms: number): number {
  let low = 0
  let high = timeMs.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (timeMs[middle]! < ms) low = middle + 1
    else high = middle
  }
  return low
}
