import { execFile, spawn } from 'node:child_process'
import { once } from 'node:events'
import { chmod, mkdtemp, open, readdir, rm, stat, truncate, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { claimDataFolder } from '../../../hub/sqlite/data-folder.js'
import type { Reading } from '../../../hub/store/port.js'
import { openSqliteStore } from '../../../hub/store/sqlite/open-sqlite-store.js'
import { encodeBatch } from '../../../hub/store/sqlite/reading-batch.js'
import { openReadingsWriter } from '../../../hub/store/sqlite/readings-writer.js'
import { asStoreError } from '../../../hub/store/sqlite/store-errors.js'

const AIR = { garden: 'home', node: 'bed-a', quantity: 'air-temp' }
const MAY_MS = Date.UTC(2027, 4, 1)
const readings = (n: number, from = 0): Reading[] =>
  Array.from({ length: n }, (_, i) => ({
    ...AIR,
    timeMs: MAY_MS + (from + i) * 60_000,
    value: 10 + (i % 50) / 10,
    flags: 0,
  }))

let dataDir: string
beforeEach(async () => {
  dataDir = await mkdtemp(join(tmpdir(), 'hearting-faults-'))
})
afterEach(() => rm(dataDir, { recursive: true, force: true }))

describe('the SQLite store on a disk that fails', () => {
  it('says that the disk is full, stores nothing of that call, and goes on when there is room', async () => {
    const file = join(dataDir, 'readings.sqlite')
    const writer = openReadingsWriter(file)
    writer.append(encodeBatch(readings(10)), MAY_MS)
    writer.close()
    // a database that may not grow answers as a full disk does
    const pages = new Database(file)
    const size = pages.pragma('page_count', { simple: true }) as number
    pages.close()
    const limited = openReadingsWriter(file, (db) => db.pragma(`max_page_count = ${size}`))
    expect(() => limited.append(encodeBatch(readings(50_000, 100)), MAY_MS)).toThrow(
      expect.objectContaining({ name: 'StoreError', code: 'STORE_FULL', retryable: true }),
    )
    limited.close()
    const roomy = openReadingsWriter(file)
    expect(roomy.append(encodeBatch(readings(50_000, 100)), MAY_MS)).toEqual({ stored: 50_000, repeated: 0 })
    roomy.close()
    const store = await openSqliteStore({ dataDir })
    expect(await store.countRange(AIR, 0, 2 * MAY_MS)).toBe(50_010)
    await store.close()
  })

  it('syncs every commit: a write-ahead log with full synchronous', () => {
    const found: unknown[] = []
    openReadingsWriter(join(dataDir, 'readings.sqlite'), (db) => {
      found.push(db.pragma('journal_mode', { simple: true }), db.pragma('synchronous', { simple: true }))
    }).close()
    // https://www.sqlite.org/pragma.html#pragma_synchronous: 2 is FULL
    expect(found).toEqual(['wal', 2])
  })

  it('says that a file is no database, and leaves it alone', async () => {
    const file = join(dataDir, 'readings.sqlite')
    await writeFile(file, 'this is a shopping list\n'.repeat(500))
    await expect(openSqliteStore({ dataDir })).rejects.toMatchObject({
      name: 'StoreError',
      code: 'STORE_CORRUPT',
      retryable: false,
      message: expect.stringContaining('restore a backup'),
    })
    expect((await stat(file)).size).toBe(24 * 500)
  })

  it('says that a damaged database is damaged', async () => {
    const store = await openSqliteStore({ dataDir })
    await store.append(readings(50_000), MAY_MS)
    await store.close()
    const file = join(dataDir, 'readings.sqlite')
    const handle = await open(file, 'r+')
    const noise = Buffer.alloc(4096, 0xa5)
    for (let page = 10; page < 60; page++) await handle.write(noise, 0, noise.length, page * 4096)
    await handle.close()
    const damaged = await openSqliteStore({ dataDir })
    await expect(damaged.readRange(AIR, 0, 2 * MAY_MS)).rejects.toMatchObject({ code: 'STORE_CORRUPT' })
    await damaged.close()
  })

  it('loses only what was not acknowledged when the log is cut short', async () => {
    // what a power cut leaves: a write-ahead log whose last commit is incomplete
    const file = join(dataDir, 'readings.sqlite')
    const writer = openReadingsWriter(file)
    writer.append(encodeBatch(readings(100)), MAY_MS)
    const durable = (await stat(`${file}-wal`)).size
    writer.append(encodeBatch(readings(100, 100)), MAY_MS)
    expect((await stat(`${file}-wal`)).size).toBeGreaterThan(durable)
    const copy = await mkdtemp(join(tmpdir(), 'hearting-cut-'))
    await promisify(execFile)('cp', [file, `${file}-wal`, copy])
    writer.close()
    await truncate(join(copy, 'readings.sqlite-wal'), durable + 100)
    const store = await openSqliteStore({ dataDir: copy })
    expect(await store.countRange(AIR, 0, 2 * MAY_MS)).toBe(100)
    expect(await store.append(readings(200), MAY_MS)).toEqual({ stored: 100, repeated: 100 })
    await store.close()
    await rm(copy, { recursive: true })
  })

  it('turns down a database of a newer hearting', async () => {
    const store = await openSqliteStore({ dataDir })
    await store.close()
    const db = new Database(join(dataDir, 'readings.sqlite'))
    db.pragma('user_version = 99')
    db.close()
    await expect(openSqliteStore({ dataDir })).rejects.toThrow(/newer hearting/)
  })

  it.each([
    ['SQLITE_IOERR_FSYNC', 'STORE_UNAVAILABLE', true],
    ['SQLITE_READONLY_DBMOVED', 'STORE_UNAVAILABLE', false],
    ['SQLITE_CANTOPEN', 'STORE_UNAVAILABLE', false],
    ['SQLITE_CORRUPT_INDEX', 'STORE_CORRUPT', false],
    ['SQLITE_BUSY_SNAPSHOT', 'STORE_UNAVAILABLE', true],
    ['SQLITE_PROTOCOL', 'STORE_UNAVAILABLE', false],
  ])('names %s in the words of the store', (code, expected, retryable) => {
    const error = asStoreError(Object.assign(new Error('from SQLite'), { code }))
    expect(error).toMatchObject({ name: 'StoreError', code: expected, retryable })
    expect(error.message).toContain(code)
  })

  it('leaves a fault of ours as it is', () => {
    const bug = new TypeError('x is not a function')
    expect(asStoreError(bug)).toBe(bug)
  })
})

describe('roll-ups after a change of what they mean', () => {
  it('are computed again from the readings', async () => {
    const store = await openSqliteStore({ dataDir })
    const all = readings(7 * 24 * 60)
    await store.append(all, MAY_MS)
    await store.settleRollups()
    const range = [MAY_MS, MAY_MS + 7 * 86_400_000, 86_400_000] as const
    const before = await store.readSteps(AIR, ...range)
    await store.close()
    const db = new Database(join(dataDir, 'readings.sqlite'))
    expect(db.prepare('SELECT count(*) FROM hour_rollup').pluck().get()).toBeGreaterThan(100)
    db.exec("UPDATE meta SET value = 0 WHERE key = 'rollup-version'; UPDATE hour_rollup SET max = 1000")
    db.close()
    const again = await openSqliteStore({ dataDir })
    expect(await again.readSteps(AIR, ...range)).toEqual(before)
    await again.settleRollups()
    expect(await again.readSteps(AIR, ...range)).toEqual(before)
    await again.close()
  })
})

describe('the data folder', () => {
  it('is made where there is none, and belongs to one hub at a time', async () => {
    const dir = join(dataDir, 'deep', 'inside')
    const claim = claimDataFolder(dir)
    expect(await readdir(dir)).toContain('hub.lock')
    expect(() => claimDataFolder(dir)).toThrow(
      expect.objectContaining({ code: 'IN_USE', message: expect.stringContaining('already running') }),
    )
    claim.release()
    claimDataFolder(dir).release()
  })

  it('is free again when the hub that had it was killed', async () => {
    const script = `
      import { claimDataFolder } from ${JSON.stringify(new URL('../../../hub/sqlite/data-folder.ts', import.meta.url).href)}
      claimDataFolder(${JSON.stringify(dataDir)})
      console.log('claimed')
      setInterval(() => {}, 1000)`
    const child = spawn(process.execPath, ['--import', 'tsx', '--input-type=module', '-e', script], {
      stdio: ['ignore', 'pipe', 'inherit'],
    })
    await once(child.stdout!, 'data')
    expect(() => claimDataFolder(dataDir)).toThrow(/already running/)
    child.kill('SIGKILL')
    await once(child, 'exit')
    claimDataFolder(dataDir).release()
  })

  it('is turned down with a remedy when it cannot be written', async () => {
    const file = join(dataDir, 'a-file')
    await writeFile(file, '')
    expect(() => claimDataFolder(join(file, 'data'))).toThrow(
      expect.objectContaining({
        code: 'NOT_WRITABLE',
        message: expect.stringContaining('HEARTING_DATA_DIR'),
      }),
    )
    await chmod(dataDir, 0o500)
    // root may write anywhere, so only an ordinary user sees this one
    if (process.getuid?.() !== 0) expect(() => claimDataFolder(dataDir)).toThrow(/cannot be written/)
    await chmod(dataDir, 0o700)
  })
})
