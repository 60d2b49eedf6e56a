/** Bringing in measured history: the readings of a tidy CSV into the store, as they come. */
import type { ImportFault, ImportReport } from '../../shared/api/export.js'
import { FLAG, isGood } from '../../shared/quality-flags.js'
import { arrivalFlags, FUTURE_TOLERANCE_MS } from '../core/quality/arrival-checks.js'
import type { Reading } from '../store/port.js'
import { readTidyCsv } from './tidy-csv.js'
import { readingsIn, type TidyReading } from './tidy-readings.js'

const READINGS_A_COMMIT = 5_000
/** what a grower can look through; the number of all is told beside them */
const MOST_FAULTS = 50

export type StoreReadings = (
  readings: readonly Reading[],
  receivedAtMs: number,
) => Promise<{ stored: number; repeated: number }>

/**
 * Stores what can be used, some thousand readings a commit; the file is read no faster than that.
 *
 * @throws TidyCsvError  not such a file at all; what was stored until then stays
 */
export async function takeTidyCsv(
  deps: { readonly storeReadings: StoreReadings; readonly now: () => number },
  garden: string,
  node: string,
  bytes: AsyncIterable<Uint8Array>,
): Promise<ImportReport> {
  const faults: ImportFault[] = []
  const counts = { rows: 0, readings: 0, stored: 0, repeated: 0, doubted: 0, faultyLines: 0 }
  let fromMs = Number.POSITIVE_INFINITY
  let toMs = Number.NEGATIVE_INFINITY
  let batch: Reading[] = []
  const commit = async (): Promise<void> => {
    if (batch.length === 0) return
    const { stored, repeated } = await deps.storeReadings(batch, deps.now())
    counts.stored += stored
    counts.repeated += repeated
    batch = []
  }

  const file = await readTidyCsv('the file', bytes, (fault) => {
    counts.faultyLines++
    if (faults.length < MOST_FAULTS) faults.push(fault)
  })
  const readingsOf = readingsIn('the file', file)
  for await (const row of file.rows) {
    counts.rows++
    for (const reading of readingsOf(row)) {
      const flags = historyFlags(reading, deps.now())
      if (!isGood(flags)) counts.doubted++
      counts.readings++
      fromMs = Math.min(fromMs, reading.timeMs)
      toMs = Math.max(toMs, reading.timeMs)
      batch.push({ garden, node, ...reading, flags })
    }
    if (batch.length >= READINGS_A_COMMIT) await commit()
  }
  await commit()
  return { ...counts, faults, from: isoOf(fromMs), to: isoOf(toMs) }
}

/**
 * Flags of a reading that the grower brings in: its time is not a node's clock's, so no age and no year makes it doubtful; only
 * the future does.
 */
export function historyFlags({ quantity, value, timeMs }: TidyReading, nowMs: number): number {
  const flags = arrivalFlags(quantity, value, timeMs, nowMs, Number.POSITIVE_INFINITY)
  return timeMs > nowMs + FUTURE_TOLERANCE_MS ? flags : flags & ~FLAG.clock
}

const isoOf = (timeMs: number): string | null =>
  Number.isFinite(timeMs) ? new Date(timeMs).toISOString() : null
