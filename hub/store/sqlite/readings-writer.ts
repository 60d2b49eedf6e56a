/** The writing side of the readings database: one transaction, and one sync of the disk, per call. */
import type Database from 'better-sqlite3'
import type { SeriesKey } from '../port.js'
import { HOUR_MS, reachHours } from '../weighted-readings.js'
import { createRollupKeeper } from './hour-rollups.js'
import type { ReadingBatch } from './reading-batch.js'
import { openForWriting } from './readings-schema.js'
import { asStoreError } from './store-errors.js'

/** Roll-ups wait until no commit has come for this long, so that they never compete with a burst. */
const IDLE_MS = 1_000
/** … but no longer than this. */
const LONGEST_WAIT_MS = 30_000
const AFTER_FAILURE_MS = 60_000
/** Between slices of roll-up work commits get their turn. */
const BREATHER_MS = 5
/** The memory of hours already noted as touched is only a short cut; it starts anew at this size. */
const MOST_NOTED_HOURS = 100_000
/** More hours than Date can tell, on either side of 1970: (series, hour) makes one number. */
const HOURS_A_SERIES = 2 ** 33

export interface ReadingsWriter {
  append(batch: ReadingBatch, receivedAtMs: number): { stored: number; repeated: number }
  deleteRange(series: SeriesKey, fromMs: number, toMs: number): number
  /** Computes every settled roll-up now instead of when idle. */
  settle(): void
  close(): void
}

/** @param prepare  told of the open connection before it is used (tests limit its size) */
export function openReadingsWriter(
  file: string,
  prepare: (db: Database.Database) => void = () => {},
  { longestWaitMs = LONGEST_WAIT_MS }: { readonly longestWaitMs?: number } = {},
): ReadingsWriter {
  const db = open(file)
  prepare(db)
  const keeper = createRollupKeeper(db)
  const seriesIds = new Map<string, number>()
  let noted = new Set<number>()
  let idleTimer: NodeJS.Timeout | null = null

  const addSeries = db.prepare(
    'INSERT INTO series (garden, node, quantity) VALUES (?, ?, ?) ON CONFLICT DO NOTHING',
  )
  const findSeries = db
    .prepare<[string, string, string], number>(
      'SELECT id FROM series WHERE garden = ? AND node = ? AND quantity = ?',
    )
    .pluck()
  // the first value stays: a redelivery adds nothing
  const insert = db.prepare('INSERT INTO reading VALUES (?, ?, ?, ?, ?) ON CONFLICT DO NOTHING')
  const touch = db.prepare('INSERT OR IGNORE INTO touched_hour VALUES (?, ?)')
  const count = db.prepare('UPDATE series SET readings = readings + ? WHERE id = ?')

  const keyOf = ({ garden, node, quantity }: SeriesKey): string => `${garden}/${node}/${quantity}`

  const append = db.transaction((batch: ReadingBatch, receivedAtMs: number) => {
    const ids = batch.series.map((series) => {
      const known = seriesIds.get(keyOf(series))
      if (known !== undefined) return known
      addSeries.run(series.garden, series.node, series.quantity)
      return findSeries.get(series.garden, series.node, series.quantity)!
    })
    const added = new Uint32Array(ids.length)
    let stored = 0
    for (let i = 0; i < batch.timeMs.length; i++) {
      const at = batch.seriesAt[i]!
      const id = ids[at]!
      const timeMs = batch.timeMs[i]!
      const delayMs = (batch.receivedAtMs?.[i] ?? receivedAtMs) - timeMs
      if (insert.run(id, timeMs, batch.value[i]!, batch.flags[i]!, delayMs).changes === 0) continue
      stored++
      added[at]!++
      const hour = Math.floor(timeMs / HOUR_MS)
      const note = id * HOURS_A_SERIES + hour
      if (noted.has(note)) continue
      touch.run(id, hour)
      noted.add(note)
    }
    for (const [at, id] of ids.entries()) if (added[at]! > 0) count.run(added[at]!, id)
    return { stored, repeated: batch.timeMs.length - stored, ids }
  })

  const findTouched = db.prepare(
    `INSERT OR IGNORE INTO touched_hour
     SELECT DISTINCT series_id, (time_ms - ((time_ms % ${HOUR_MS}) + ${HOUR_MS}) % ${HOUR_MS}) / ${HOUR_MS}
     FROM reading WHERE series_id = ? AND time_ms >= ? AND time_ms < ?`,
  )
  const dropRollups = db.prepare('DELETE FROM hour_rollup WHERE series_id = ? AND hour >= ? AND hour <= ?')
  const drop = db.prepare('DELETE FROM reading WHERE series_id = ? AND time_ms >= ? AND time_ms < ?')
  const deleteRange = db.transaction((id: number, quantity: string, fromMs: number, toMs: number) => {
    const deleted = drop.run(id, fromMs, toMs).changes
    if (deleted === 0) return 0
    const first = Math.floor(fromMs / HOUR_MS) - reachHours(quantity)
    const last = Math.floor(toMs / HOUR_MS) + reachHours(quantity)
    dropRollups.run(id, first, last)
    findTouched.run(id, first * HOUR_MS, (last + 1) * HOUR_MS)
    count.run(-deleted, id)
    return deleted
  })

  let overdueAtMs: number | null = null
  const rollUpAfter = (afterMs: number): void => {
    if (idleTimer) clearTimeout(idleTimer)
    idleTimer = setTimeout(() => {
      idleTimer = null
      try {
        noted = new Set()
        if (keeper.settleSome()) rollUpAfter(BREATHER_MS)
        else overdueAtMs = null
      } catch (error) {
        // roll-ups are a cache: reads stay right without them, and the next commit's failure is the one to tell
        if (asStoreError(error) === error) throw error
        rollUpAfter(AFTER_FAILURE_MS)
      }
    }, afterMs)
  }
  /** Waits for a pause in the commits, but not for ever: where they never pause roll-ups must not starve. */
  const rollUpWhenIdle = (): void => {
    const nowMs = performance.now()
    overdueAtMs ??= nowMs + longestWaitMs
    // once overdue the timer that is set stays set, however many commits come
    if (idleTimer === null || nowMs < overdueAtMs)
      rollUpAfter(Math.min(IDLE_MS, Math.max(0, overdueAtMs - nowMs)))
  }
  rollUpWhenIdle()

  return {
    append(batch, receivedAtMs) {
      if (noted.size > MOST_NOTED_HOURS) noted = new Set()
      try {
        const { stored, repeated, ids } = append.immediate(batch, receivedAtMs)
        for (const [at, series] of batch.series.entries()) seriesIds.set(keyOf(series), ids[at]!)
        rollUpWhenIdle()
        return { stored, repeated }
      } catch (error) {
        // rolled back: what this call noted is not in the database
        noted = new Set()
        throw asStoreError(error)
      }
    },
    deleteRange(series, fromMs, toMs) {
      const id = findSeries.get(series.garden, series.node, series.quantity)
      if (id === undefined) return 0
      try {
        noted = new Set()
        return deleteRange.immediate(id, series.quantity, fromMs, toMs)
      } catch (error) {
        throw asStoreError(error)
      }
    },
    settle() {
      try {
        noted = new Set()
        while (keeper.settleSome());
      } catch (error) {
        throw asStoreError(error)
      }
    },
    close() {
      if (idleTimer) clearTimeout(idleTimer)
      idleTimer = null
      db.close()
    },
  }
}

function open(file: string): Database.Database {
  try {
    return openForWriting(file)
  } catch (error) {
    throw asStoreError(error)
  }
}
