/** A season (180 days, one reading a minute) read as chart columns, against the plainest read of the same rows. */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import type { Reading } from '../../hub/store/port.js'
import { openSqliteStore } from '../../hub/store/sqlite/open-sqlite-store.js'
import { type BenchRow, median } from './bench-row.js'

const MINUTE_MS = 60_000
const DAY_MS = 86_400_000
const START_MS = Date.UTC(2027, 3, 1)
const DAYS = 180
const END_MS = START_MS + DAYS * DAY_MS
const QUANTITIES = ['air-temp', 'soil-temp', 'light']
const AIR = { garden: 'home', node: 'bed-a', quantity: 'air-temp' }
const RUNS = 9
/** readings a commit while loading */
const BATCH = 1_000

/** A season as it arrives: every minute one reading of each quantity. */
function* season(): Generator<Reading> {
  for (let minute = 0; minute < DAYS * 1440; minute++) {
    const timeMs = START_MS + minute * MINUTE_MS
    const day = Math.sin(((minute % 1440) / 1440) * 2 * Math.PI - Math.PI / 2)
    const values = [15 + 8 * day + (minute % 13) * 0.03, 14 + 2 * day, Math.max(0, 80_000 * day)]
    for (const [i, quantity] of QUANTITIES.entries())
      yield { ...AIR, quantity, timeMs, value: values[i]!, flags: 0 }
  }
}

async function medianMs(read: () => unknown): Promise<number> {
  const times: number[] = []
  for (let run = 0; run <= RUNS; run++) {
    const startedAt = performance.now()
    await read()
    if (run > 0) times.push(performance.now() - startedAt)
  }
  return median(times)
}

export async function storeBench(): Promise<BenchRow[]> {
  const dataDir = await mkdtemp(join(tmpdir(), 'hearting-bench-'))
  const store = await openSqliteStore({ dataDir })
  try {
    const startedAt = performance.now()
    let batch: Reading[] = []
    let count = 0
    for (const reading of season()) {
      batch.push(reading)
      if (batch.length < BATCH) continue
      await store.append(batch, END_MS)
      count += batch.length
      batch = []
    }
    if (batch.length > 0) await store.append(batch, END_MS)
    count += batch.length
    const loadS = (performance.now() - startedAt) / 1000
    await store.settleRollups()

    const db = new Database(join(dataDir, 'readings.sqlite'), { readonly: true })
    const rows = db
      .prepare<[number, number], [number, number, number]>(
        `SELECT time_ms, value, flags FROM reading
         WHERE series_id = (SELECT id FROM series WHERE quantity = 'air-temp') AND time_ms >= ? AND time_ms < ?
         ORDER BY time_ms`,
      )
      .raw()
    const plainMs = await medianMs(() => rows.all(START_MS, END_MS))
    db.close()
    const rawMs = await medianMs(() => store.readRange(AIR, START_MS, END_MS))
    const stepsMs = await medianMs(() => store.readSteps(AIR, START_MS, END_MS, 6 * 3_600_000))
    const dayMs = await medianMs(() => store.readRange(AIR, END_MS - DAY_MS, END_MS))

    const yardstick = 'a season of minutes, plain rows by better-sqlite3'
    return [
      { name: yardstick, value: plainMs, unit: 'ms', ratioTo: null },
      {
        name: 'a season of minutes, columns with quality flags',
        value: rawMs,
        unit: 'ms',
        ratioTo: yardstick,
      },
      { name: 'a season, rolled up to 6 h', value: stepsMs, unit: 'ms', ratioTo: yardstick },
      { name: 'the last day, columns with quality flags', value: dayMs, unit: 'ms', ratioTo: yardstick },
      {
        name: `readings stored a second, ${BATCH} a commit`,
        value: count / loadS,
        unit: '1/s',
        ratioTo: null,
      },
    ]
  } finally {
    await store.close()
    await rm(dataDir, { recursive: true })
  }
}
