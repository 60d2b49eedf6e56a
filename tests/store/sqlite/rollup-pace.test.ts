import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { Reading } from '../../../hub/store/port.js'
import { encodeBatch } from '../../../hub/store/sqlite/reading-batch.js'
import { openReadingsWriter } from '../../../hub/store/sqlite/readings-writer.js'
import { reachHours } from '../../../hub/store/weighted-readings.js'
import { until } from '../../ingest/hub-under-test.js'

const AIR = { garden: 'home', node: 'bed-a', quantity: 'air-temp' }
const MAY_MS = Date.UTC(2027, 4, 1)
const DAY_MS = 86_400_000
/** The newest hours wait: readings still to come bear on their flags. One more for the hour that has begun. */
const WAITING_HOURS = reachHours('air-temp') + 1

const minutes = (days: number, fromMs = MAY_MS): Reading[] =>
  Array.from({ length: days * 1440 }, (_, i) => ({
    ...AIR,
    timeMs: fromMs + i * 60_000,
    value: 12 + (i % 600) / 100,
    flags: 0,
  }))

describe('hourly roll-ups', () => {
  let dataDir: string
  let file: string
  beforeEach(async () => {
    dataDir = await mkdtemp(join(tmpdir(), 'hearting-pace-'))
    file = join(dataDir, 'readings.sqlite')
  })
  afterEach(() => rm(dataDir, { recursive: true }))

  const look = <T>(sql: string): T => {
    const db = new Database(file, { readonly: true })
    try {
      return db.prepare(sql).pluck().get() as T
    } finally {
      db.close()
    }
  }

  it('are made by themselves when commits pause, but for the newest hours', async () => {
    const writer = openReadingsWriter(file)
    try {
      writer.append(encodeBatch(minutes(30)), MAY_MS)
      expect(look('SELECT count(*) FROM hour_rollup')).toBe(0)
      const hours = await until('they are settled', () => {
        const left = look<number>('SELECT count(*) FROM touched_hour')
        return left <= WAITING_HOURS ? look<number>('SELECT count(*) FROM hour_rollup') : 0
      })
      expect(hours).toBeGreaterThanOrEqual(30 * 24 - WAITING_HOURS)
    } finally {
      writer.close()
    }
  })

  it('are made also where commits never pause', async () => {
    const writer = openReadingsWriter(file, undefined, { longestWaitMs: 50 })
    try {
      writer.append(encodeBatch(minutes(30)), MAY_MS)
      let more = MAY_MS + 30 * DAY_MS
      await until('they are settled', () => {
        writer.append(encodeBatch([{ ...AIR, timeMs: more++, value: 12, flags: 0 }]), MAY_MS)
        return look<number>('SELECT count(*) FROM hour_rollup') > 29 * 24
      })
    } finally {
      writer.close()
    }
  })

  it('write a settled hour once while readings come in one by one', () => {
    const writer = openReadingsWriter(file)
    try {
      const all = minutes(5)
      writer.append(encodeBatch(all.slice(0, -120)), MAY_MS)
      writer.settle()
      const before = look<number>('SELECT count(*) FROM hour_rollup')
      for (const reading of all.slice(-120)) {
        writer.append(encodeBatch([reading]), MAY_MS)
        writer.settle()
      }
      // two more hours have gone by, so two more are settled; the newest stay noted and not rolled up
      expect(look<number>('SELECT count(*) FROM hour_rollup')).toBe(before + 2)
      expect(look<number>('SELECT count(*) FROM touched_hour')).toBeLessThanOrEqual(WAITING_HOURS)
    } finally {
      writer.close()
    }
  })
})
