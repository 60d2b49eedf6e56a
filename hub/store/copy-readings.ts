/**
 * Copies all readings from one store to another and compares the copy with the original, reading by reading. May be
 * broken off and run again: what is there already is not copied twice.
 */
import type { SeriesSummary } from './port.js'
import { type CopyableStore, type StoredRows, sliceRows } from './stored-rows.js'

export interface CopyResult {
  readonly series: number
  readonly readings: number
  /** copied now; the others had been there before */
  readonly copied: number
  /** readings of the original that the copy has exactly so: value, flags and time of arrival */
  readonly verified: number
  /** readings that the copy has otherwise: it had another value first, which stays */
  readonly different: number
  readonly missing: number
}

export interface CopyProgress {
  readonly phase: 'copying' | 'comparing'
  readonly done: number
  readonly total: number
}

const WINDOW_MS = 30 * 86_400_000
const ROWS_A_COMMIT = 5_000
/** After so many the other store gets time to take them in. */
const ROWS_UNTIL_SETTLED = 100_000

/** @throws StoreError  when a store fails; run it again then */
export async function copyReadings(
  from: CopyableStore,
  to: CopyableStore,
  onProgress: (progress: CopyProgress) => void = () => {},
): Promise<CopyResult> {
  const all: SeriesSummary[] = []
  for (const garden of await from.listGardens()) all.push(...(await from.listSeries(garden)))
  const total = all.reduce((sum, { count }) => sum + count, 0)

  let copied = 0
  let done = 0
  let unsettled = 0
  for await (const { series, rows } of windows(from, all)) {
    for (let at = 0; at < rows.timeMs.length; at += ROWS_A_COMMIT) {
      const some = sliceRows(rows, at, at + ROWS_A_COMMIT)
      copied += (await to.appendStored(series, some)).stored
      done += some.timeMs.length
      unsettled += some.timeMs.length
      if (unsettled >= ROWS_UNTIL_SETTLED) {
        await to.settleCopies()
        unsettled = 0
      }
      onProgress({ phase: 'copying', done, total })
    }
  }
  await to.settleCopies()

  let readings = 0
  let verified = 0
  let different = 0
  let missing = 0
  for await (const { series, rows, fromMs, toMs } of windows(from, all)) {
    const copy = await to.readStored(series, fromMs, toMs)
    const at = new Map<number, number>()
    for (const [i, timeMs] of copy.timeMs.entries()) at.set(timeMs, i)
    for (const [i, timeMs] of rows.timeMs.entries()) {
      const twin = at.get(timeMs)
      if (twin === undefined) missing++
      else if (isSame(rows, i, copy, twin)) verified++
      else different++
    }
    readings += rows.timeMs.length
    onProgress({ phase: 'comparing', done: readings, total })
  }
  return { series: all.length, readings, copied, verified, different, missing }
}

const isSame = (a: StoredRows, i: number, b: StoredRows, j: number): boolean =>
  a.value[i] === b.value[j] && a.flags[i] === b.flags[j] && a.delayMs[i] === b.delayMs[j]

async function* windows(
  store: CopyableStore,
  all: readonly SeriesSummary[],
): AsyncGenerator<{ series: SeriesSummary; rows: StoredRows; fromMs: number; toMs: number }> {
  for (const series of all) {
    for (let fromMs = series.firstMs; fromMs <= series.lastMs; fromMs += WINDOW_MS) {
      const toMs = Math.min(fromMs + WINDOW_MS, series.lastMs + 1)
      const rows = await store.readStored(series, fromMs, toMs)
      if (rows.timeMs.length > 0) yield { series, rows, fromMs, toMs }
    }
  }
}
