/** The taking side of the spool: one transaction, and one sync of the disk, per call. A thread of its own. */
import { type SeriesKey, StoreError } from '../port.js'
import type { ReadingBatch } from '../sqlite/reading-batch.js'
import { asStoreError } from '../sqlite/store-errors.js'
import { HOUR_MS, reachHours } from '../weighted-readings.js'
import { openSpool, STATE } from './spool-schema.js'
import type { WaitingCount } from './waiting-count.js'

export interface SpoolWriter {
  append(batch: ReadingBatch, receivedAtMs: number): { stored: number; repeated: number }
  close(): void
}

/**
 * @param limit    readings that may wait; more are not taken, so the senders keep them
 * @param waiting  shared with the thread that forwards
 */
export function openSpoolWriter(file: string, limit: number, waiting: WaitingCount): SpoolWriter {
  const db = openSpool(file)
  waiting.set(
    db.prepare<[], number>('SELECT count(*) FROM reading WHERE state > 0 AND state < 3').pluck().get()!,
  )
  const seriesIds = new Map<string, number>()
  const keyOf = ({ garden, node, quantity }: SeriesKey): string => `${garden}/${node}/${quantity}`

  const addSeries = db.prepare(
    'INSERT INTO series (garden, node, quantity) VALUES (?, ?, ?) ON CONFLICT DO NOTHING',
  )
  const findSeries = db
    .prepare<[string, string, string], number>(
      'SELECT id FROM series WHERE garden = ? AND node = ? AND quantity = ?',
    )
    .pluck()
  const completeFrom = db.prepare<[], number>('SELECT complete_from_ms FROM spool').pluck()
  // the first value stays: a redelivery adds nothing
  const insert = db.prepare(
    `INSERT INTO reading VALUES (?, ?, ?, ?, ?, ${STATE.waiting}) ON CONFLICT DO NOTHING`,
  )
  const forget = db.prepare('DELETE FROM day_figures WHERE series_id = ? AND day >= ? AND day <= ?')
  const changed = db.prepare('UPDATE series SET changes = changes + 1 WHERE id = ?')

  const append = db.transaction((batch: ReadingBatch, receivedAtMs: number) => {
    const ids = batch.series.map((series) => {
      const known = seriesIds.get(keyOf(series))
      if (known !== undefined) return known
      addSeries.run(series.garden, series.node, series.quantity)
      return findSeries.get(series.garden, series.node, series.quantity)!
    })
    const completeFromMs = completeFrom.get()!
    /** days that late readings touch, by series */
    const late = new Map<number, Set<number>>()
    let stored = 0
    for (let i = 0; i < batch.timeMs.length; i++) {
      const at = batch.seriesAt[i]!
      const timeMs = batch.timeMs[i]!
      const delayMs = (batch.receivedAtMs?.[i] ?? receivedAtMs) - timeMs
      if (insert.run(ids[at]!, timeMs, batch.value[i]!, batch.flags[i]!, delayMs).changes === 0) continue
      stored++
      const reach = reachHours(batch.series[at]!.quantity)
      if (timeMs - reach * HOUR_MS >= completeFromMs) continue
      const days = late.get(at) ?? new Set()
      late.set(at, days.add(Math.floor(timeMs / HOUR_MS / 24)))
    }
    for (const [at, days] of late) {
      const reachDays = Math.ceil(reachHours(batch.series[at]!.quantity) / 24)
      for (const day of days) forget.run(ids[at]!, day - reachDays, day + reachDays)
      changed.run(ids[at]!)
    }
    return { stored, repeated: batch.timeMs.length - stored, ids }
  })

  return {
    append(batch, receivedAtMs) {
      if (waiting.get() + batch.timeMs.length > limit)
        throw new StoreError(
          'STORE_FULL',
          `${waiting.get()} readings wait for the database (InfluxDB), and HEARTING_SPOOL_LIMIT is ${limit}: bring the database back; until then nodes keep what they measure`,
          true,
        )
      try {
        const { stored, repeated, ids } = append.immediate(batch, receivedAtMs)
        for (const [at, series] of batch.series.entries()) seriesIds.set(keyOf(series), ids[at]!)
        waiting.add(stored)
        return { stored, repeated }
      } catch (error) {
        throw asStoreError(error)
      }
    },
    close() {
      db.close()
    },
  }
}
