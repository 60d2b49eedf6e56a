/**
 * Reads what InfluxDB has and what waits in the spool as one. The newest days come from the spool alone. Where both
 * have a key InfluxDB's value counts: it was there first.
 */
import { contextMs } from '../../core/quality/context-checks.js'
import type { ReadingColumns } from '../../core/readings.js'
import type { StoredRows } from '../stored-rows.js'
import { flaggedRange, reachMs, type WeightedReadings, weightedRange } from '../weighted-readings.js'
import { type InfluxDatabase, type Span, spansOf } from './influx-database.js'
import type { Spool, SpoolSeries } from './spool.js'

export interface JoinedReader {
  /** as stored, flags of arrival only */
  stored(series: SpoolSeries, span: Span): Promise<StoredRows>
  flagged(series: SpoolSeries, span: Span): Promise<ReadingColumns>
  weighted(series: SpoolSeries, span: Span): Promise<WeightedReadings>
  count(series: SpoolSeries, span: Span): Promise<number>
}

export function createJoinedReader(spool: Spool, database: InfluxDatabase): JoinedReader {
  /** The part of a span that the spool alone does not answer; null: it answers all of it. */
  function remotePart(series: SpoolSeries, { fromMs, toMs }: Span, completeFromMs: number): Span | null {
    if (series.remoteLastMs === null) return null
    const end = Math.min(toMs, completeFromMs, series.remoteLastMs + 1)
    return fromMs < end ? { fromMs, toMs: end } : null
  }

  async function stored(series: SpoolSeries, span: Span): Promise<StoredRows> {
    for (;;) {
      const before = spool.extent()
      // known again each time: what the database has may have grown since
      const remote = remotePart(spool.byId(series.id), span, before.completeFromMs)
      const there = remote ? await database.read(series, remote) : null
      const { rows, extent } = spool.rows(series.id, span)
      // something was tidied away in between: it may be missing in both
      if (extent.tidied !== before.tidied) continue
      return there ? merge(there, rows) : rows
    }
  }

  return {
    stored,
    async flagged(series, { fromMs, toMs }) {
      const around = contextMs(series.quantity)
      const wide = await stored(series, { fromMs: fromMs - around, toMs: toMs + around })
      return flaggedRange(series.quantity, wide, fromMs, toMs)
    },
    async weighted(series, { fromMs, toMs }) {
      const around = reachMs(series.quantity)
      const wide = await stored(series, { fromMs: fromMs - around, toMs: toMs + around })
      return weightedRange(series.quantity, wide, fromMs, toMs)
    },
    async count(series, span) {
      for (;;) {
        const before = spool.extent()
        const now = spool.byId(series.id)
        const remote = remotePart(now, span, before.completeFromMs)
        let count = 0
        if (remote) {
          count = await database.count(series, remote)
          const unsent = spool.unsentTimes(series.id, remote)
          const known = new Set(await database.times(series, spansOf(unsent)))
          count += unsent.filter((timeMs) => !known.has(timeMs)).length
          count += spool.countAll(series.id, { fromMs: remote.toMs, toMs: span.toMs })
        } else count = spool.countAll(series.id, span)
        const after = spool.byId(series.id)
        const isSame = after.remote === now.remote && after.changes === now.changes
        if (isSame && spool.extent().tidied === before.tidied) return count
      }
    },
  }
}

/** Both ascending; where a time is in both, the first one's row is taken. */
export function merge(first: StoredRows, second: StoredRows): StoredRows {
  if (second.timeMs.length === 0) return first
  if (first.timeMs.length === 0) return second
  const most = first.timeMs.length + second.timeMs.length
  const all: StoredRows = {
    timeMs: new Float64Array(most),
    value: new Float64Array(most),
    flags: new Uint16Array(most),
    delayMs: new Float64Array(most),
  }
  let n = 0
  let i = 0
  let j = 0
  while (i < first.timeMs.length || j < second.timeMs.length) {
    const a = i < first.timeMs.length ? first.timeMs[i]! : Number.POSITIVE_INFINITY
    const b = j < second.timeMs.length ? second.timeMs[j]! : Number.POSITIVE_INFINITY
    const from = a <= b ? first : second
    const at = a <= b ? i++ : j++
    if (a === b) j++
    all.timeMs[n] = from.timeMs[at]!
    all.value[n] = from.value[at]!
    all.flags[n] = from.flags[at]!
    all.delayMs[n] = from.delayMs[at]!
    n++
  }
  return {
    timeMs: all.timeMs.subarray(0, n),
    value: all.value.subarray(0, n),
    flags: all.flags.subarray(0, n),
    delayMs: all.delayMs.subarray(0, n),
  }
}
