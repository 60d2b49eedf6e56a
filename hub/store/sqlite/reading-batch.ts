/**
 * Readings on their way to the writer thread: columns instead of objects, because copying a typed array costs
 * next to nothing and copying an object per reading costs more than storing it.
 */
import type { Reading, SeriesKey } from '../port.js'
import type { StoredRows } from '../stored-rows.js'

export interface ReadingBatch {
  /** the series that occur */
  readonly series: readonly SeriesKey[]
  /** index into `series`, one a reading */
  readonly seriesAt: Uint32Array
  readonly timeMs: Float64Array
  readonly value: Float64Array
  readonly flags: Uint16Array
  /** when each was received, where that differs (copies of another store); else one time is given for all */
  readonly receivedAtMs?: Float64Array
}

/**
 * @throws RangeError  when a time is not a whole number of ms or a value is not finite: such a reading must
 *                     have been refused before it came here
 */
export function encodeBatch(readings: readonly Reading[]): ReadingBatch {
  const n = readings.length
  const series: SeriesKey[] = []
  const indexOf = new Map<string, number>()
  const seriesAt = new Uint32Array(n)
  const timeMs = new Float64Array(n)
  const value = new Float64Array(n)
  const flags = new Uint16Array(n)
  for (let i = 0; i < n; i++) {
    const reading = readings[i]!
    if (!Number.isSafeInteger(reading.timeMs))
      throw new RangeError(`time is not a whole number of ms: ${reading.timeMs}`)
    if (!Number.isFinite(reading.value))
      throw new RangeError(`value of ${reading.quantity} is not finite: ${reading.value}`)
    const key = `${reading.garden}/${reading.node}/${reading.quantity}`
    let at = indexOf.get(key)
    if (at === undefined) {
      at = series.push({ garden: reading.garden, node: reading.node, quantity: reading.quantity }) - 1
      indexOf.set(key, at)
    }
    seriesAt[i] = at
    timeMs[i] = reading.timeMs
    value[i] = reading.value
    flags[i] = reading.flags
  }
  return { series, seriesAt, timeMs, value, flags }
}

/** Rows of one series out of another store, each with its own time of arrival. */
export function encodeRows(series: SeriesKey, { timeMs, value, flags, delayMs }: StoredRows): ReadingBatch {
  return {
    series: [{ garden: series.garden, node: series.node, quantity: series.quantity }],
    seriesAt: new Uint32Array(timeMs.length),
    timeMs,
    value,
    flags,
    receivedAtMs: timeMs.map((at, i) => at + delayMs[i]!),
  }
}
