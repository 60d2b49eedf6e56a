/** What the InfluxDB store does while its database is away, slow, or differs from what it expects. */
import { mkdtemp, rm } from 'node:fs/promises'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { InfluxDB } from 'influx'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import type { ForwardingState } from '../../../hub/store/influx/forwarder.js'
import {
  type InfluxStore,
  type InfluxStoreOptions,
  openInfluxStore,
} from '../../../hub/store/influx/open-influx-store.js'
import { FLAG } from '../../../shared/quality-flags.js'
import { until } from '../../ingest/hub-under-test.js'
import { hasInfluxd, type InfluxdForTest, influxdNote, startInfluxd } from '../../support/influxd.js'
import { air, reading } from '../contract.js'

const MAY_MS = Date.UTC(2027, 4, 1)
const DAY_MS = 86_400_000
const ALL = [0, 2 * MAY_MS] as const

describe.skipIf(!hasInfluxd)(`with InfluxDB behind it the store${influxdNote}`, () => {
  let server: InfluxdForTest
  let dataDir: string
  let database: string
  let databases = 0
  const open: InfluxStore[] = []

  beforeAll(async () => {
    server = await startInfluxd()
  })
  afterAll(() => server?.dispose())
  beforeEach(async () => {
    dataDir = await mkdtemp(join(tmpdir(), 'hearting-outage-'))
    database = `outage_${databases++}`
  })
  afterEach(async () => {
    for (const store of open.splice(0)) await store.close()
    await rm(dataDir, { recursive: true })
  })

  async function openStore(options: Partial<InfluxStoreOptions> = {}): Promise<InfluxStore> {
    const { url, user, password } = server
    const store = await openInfluxStore({
      dataDir,
      influx: { url, user, password, database },
      keepDays: 0,
      ...options,
    })
    open.push(store)
    return store
  }
  const inDatabase = async (): Promise<[number, number][]> => {
    const { hostname, port } = new URL(server.url)
    const client = new InfluxDB({
      host: hostname,
      port: Number(port),
      username: server.user,
      password: server.password,
      database,
    })
    const rows = await client.query<{ value: number }>('SELECT value FROM reading', { precision: 'ms' })
    return rows.map(({ time, value }) => [Number(time), value])
  }
  const minutes = (from: number, to: number) =>
    Array.from({ length: to - from }, (_, i) => reading(air, MAY_MS + (from + i) * 60_000, from + i))
  const values = async (store: InfluxStore): Promise<number[]> => [
    ...(await store.readRange(air, ...ALL)).value,
  ]

  it('takes readings while the database is down, says so, and forwards them when it is back', async () => {
    const told: ForwardingState[] = []
    const store = await openStore({ keepDays: 400, onForwarding: (state) => told.push(state) })
    await store.append(minutes(0, 10), MAY_MS)
    await store.flush()
    await server.kill()
    try {
      expect(await store.append(minutes(10, 20), MAY_MS)).toEqual({ stored: 10, repeated: 0 })
      await until('it is known to be down', () => told.at(-1)?.isUp === false)
      expect(store.forwarding()).toMatchObject({ waiting: 10, isUp: false })
      expect(store.forwarding().trouble).toMatch(/ECONNREFUSED|hang up|ECONNRESET/)
      // the newest days are on the hub's own disk
      expect(await values(store)).toHaveLength(20)
      expect((await store.listSeries('home'))[0]).toMatchObject({ count: 20 })
    } finally {
      await server.start()
    }
    await until('all is forwarded', () => store.forwarding().waiting === 0)
    await until('it is known to be up', () => told.at(-1)?.isUp === true)
    expect(await inDatabase()).toHaveLength(20)
  })

  it('says that it cannot read, and does not answer with a part, while older days are out of reach', async () => {
    const store = await openStore()
    await store.append(minutes(0, 10), MAY_MS)
    await store.flush()
    await store.tidy(MAY_MS)
    await server.kill()
    try {
      await store.append(minutes(10, 20), MAY_MS)
      await expect(store.readRange(air, ...ALL)).rejects.toMatchObject({
        code: 'STORE_UNAVAILABLE',
        retryable: true,
        message: expect.stringContaining('HEARTING_INFLUX_URL'),
      })
      await expect(store.deleteRange(air, ...ALL)).rejects.toMatchObject({ code: 'STORE_UNAVAILABLE' })
    } finally {
      await server.start()
    }
    await until('it reads again', () => values(store).catch(() => null))
    expect(await values(store)).toHaveLength(20)
  })

  it('does not wait for a database that stands still', async () => {
    const store = await openStore({ keepDays: 400 })
    await store.append(minutes(0, 10), MAY_MS)
    await store.flush()
    server.freeze()
    try {
      await store.append(minutes(10, 20), MAY_MS)
      expect(await values(store)).toHaveLength(20)
    } finally {
      server.thaw()
    }
    await until('all is forwarded', () => store.forwarding().waiting === 0)
    expect(await inDatabase()).toHaveLength(20)
  })

  it('takes no more than its limit while the database is away', async () => {
    const nobody = createServer((socket) => socket.destroy())
    await new Promise<void>((resolve) => nobody.listen(0, '127.0.0.1', resolve))
    const { port } = nobody.address() as { port: number }
    const influx = { url: `http://127.0.0.1:${port}`, user: null, password: null, database }
    const store = await openStore({ influx, spoolLimit: 15 })
    await store.append(minutes(0, 10), MAY_MS)
    await expect(store.append(minutes(10, 20), MAY_MS)).rejects.toMatchObject({
      code: 'STORE_FULL',
      retryable: true,
    })
    expect(await store.append(minutes(10, 15), MAY_MS)).toEqual({ stored: 5, repeated: 0 })
    await store.close()
    nobody.close()
    // what waited is forwarded by the next hub on this folder
    const next = await openStore()
    await next.flush()
    expect(await inDatabase()).toHaveLength(15)
  })

  it('keeps the first value although the database would overwrite it', async () => {
    const store = await openStore()
    await store.append(minutes(0, 10), MAY_MS)
    await store.flush()
    await store.tidy(MAY_MS)
    // the spool does not know any more that it had these
    await store.append(
      [...minutes(3, 8), ...minutes(12, 14)].map((r) => ({ ...r, value: r.value + 100 })),
      MAY_MS + DAY_MS,
    )
    const expected = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 112, 113]
    expect(await values(store)).toEqual(expected)
    expect(await store.countRange(air, ...ALL)).toBe(12)
    await store.flush()
    expect((await inDatabase()).map(([, value]) => value)).toEqual(expected)
    expect(await values(store)).toEqual(expected)
    expect((await store.listSeries('home'))[0]?.count).toBe(12)
  })

  it('a new hub finds what the database had before it', async () => {
    const before = await openStore()
    await before.append([...minutes(0, 10), reading(air, MAY_MS + DAY_MS, 50, FLAG.clock)], MAY_MS + 5)
    await before.flush()
    await before.close()
    await rm(dataDir, { recursive: true })
    dataDir = await mkdtemp(join(tmpdir(), 'hearting-outage-'))
    const after = await openStore({ keepDays: 5 })
    expect(await after.listSeries('home')).toEqual([
      { ...air, count: 11, firstMs: MAY_MS, lastMs: MAY_MS + DAY_MS },
    ])
    expect(await after.latest('home')).toEqual([
      { ...air, timeMs: MAY_MS + 9 * 60_000, value: 9, flags: 0, receivedAtMs: MAY_MS + 5 },
    ])
    await after.append([reading(air, MAY_MS, 99), reading(air, MAY_MS + 2 * DAY_MS, 7)], MAY_MS + 2 * DAY_MS)
    await after.flush()
    expect(await values(after)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 50, 7])
  })

  it('a reading that the database will not take holds up no other and is kept', async () => {
    // InfluxDB ends in the year 2262
    const far = Date.UTC(2300, 0, 1)
    const store = await openStore()
    await store.append([...minutes(0, 3), reading(air, far, 5), ...minutes(3, 6)], MAY_MS)
    await store.flush()
    expect(store.forwarding().waiting).toBe(0)
    expect((await inDatabase()).map(([, value]) => value)).toEqual([0, 1, 2, 3, 4, 5])
    expect([...(await store.readRange(air, far, far + 1)).value]).toEqual([5])
    await until('it is counted', () => store.forwarding().refused === 1)
  })

  it('says who is turned away when the password is wrong, and keeps what comes', async () => {
    const { url, user } = server
    const store = await openStore({ influx: { url, user, password: 'wrong', database } })
    await store.append(minutes(0, 3), MAY_MS)
    await until('the trouble is known', () => store.forwarding().trouble !== null)
    expect(store.forwarding().trouble).toMatch(/authorization failed/)
    expect(store.forwarding().trouble).not.toMatch(/wrong/)
    const failure: Error = await store.listSeries('home').then(
      () => expect.unreachable(),
      (error: Error) => error,
    )
    expect(failure.message).toMatch(/HEARTING_INFLUX_USER/)
  })
})
