import { connectAsync } from 'mqtt'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { Config } from '../../hub/config.js'
import { type Hub, startHub } from '../../hub/main.js'
import { openSqliteStore } from '../../hub/store/sqlite/open-sqlite-store.js'
import { localDate } from '../../shared/local-time.js'
import { ask, followLive, newDataDir, node, publish, setUpHome, silent, startOn } from './hub-fixture.js'

/** a minute ago, on the whole second: what a node would send */
const minutesAgo = (n: number): number => Math.floor(Date.now() / 1000 - n * 60) * 1000

describe('a whole hub', () => {
  let folder: Awaited<ReturnType<typeof newDataDir>>
  let hub: Hub
  beforeEach(async () => {
    folder = await newDataDir()
    hub = await startOn(folder.dataDir)
  })
  afterEach(async () => {
    await hub.close()
    await folder.remove()
  })

  it('shows what a node published: as series, as day record, as today', async () => {
    await setUpHome(hub)
    const client = await node(hub)
    const times = [5, 4, 3, 2, 1].map(minutesAgo)
    for (const [i, atMs] of times.entries()) {
      await publish(client, 'n1', atMs, { 'air-temp': 15 + i, 'soil-temp': 12, light: 20_000 })
    }
    await client.endAsync()

    const series = await ask(hub, 'GET', 'gardens/home/beds/long/series?quantity=air-temp')
    expect(series.body).toMatchObject({
      form: 'raw',
      unit: '°C',
      value: [15, 16, 17, 18, 19],
      flags: [0, 0, 0, 0, 0],
    })
    expect(series.body.time).toEqual(times.map((atMs) => atMs / 1000))

    const date = localDate(times.at(-1)!, 'Europe/Copenhagen')
    const days = await ask(hub, 'GET', `gardens/home/beds/long/days?from=${date}&to=${date}`)
    expect(days.body).toMatchObject([{ date, airTempMaxC: 19, provisional: true }])

    const today = await ask(hub, 'GET', 'gardens/home/today')
    expect(today.body.beds).toMatchObject([{ bed: 'long' }])
    expect(today.body.beds[0].latest).toContainEqual(
      expect.objectContaining({ quantity: 'air-temp', value: 19, node: 'n1' }),
    )
  })

  it('keeps what came before the grower had filled in anything', async () => {
    const client = await node(hub)
    await publish(client, 'n1', minutesAgo(3), { 'air-temp': 11 })
    await publish(client, 'other', minutesAgo(3), { 'air-temp': 7 }, 'allotment')
    const waiting = await ask(hub, 'GET', 'gardens/home/nodes')
    expect(waiting.body).toMatchObject([{ id: 'n1', name: null, bed: null, latest: [{ value: 11 }] }])

    await setUpHome(hub)
    await publish(client, 'n1', minutesAgo(2), { 'air-temp': 12 })
    await client.endAsync()
    const { body } = await ask(hub, 'GET', 'gardens/home/beds/long/series?quantity=air-temp')
    expect(body.value).toEqual([11, 12])
    expect((await ask(hub, 'GET', 'gardens/allotment/nodes')).body).toMatchObject([{ id: 'other' }])
  })

  it('tells pages of readings as they come, with their bed, and of changes', async () => {
    await setUpHome(hub)
    const live = await followLive(hub)
    const client = await node(hub)
    const atMs = minutesAgo(1)
    await publish(client, 'n1', atMs - 60_000, { 'air-temp': 15 })
    await publish(client, 'n1', atMs, { 'air-temp': 16, light: 900 })
    await vi.waitFor(() => expect(live.events.length).toBeGreaterThan(0), 5_000)
    const newest = new Map(
      live.events
        .flatMap((event) => (event.type === 'readings' && event.bed === 'long' ? event.values : []))
        .map((reading) => [reading.quantity, reading]),
    )
    expect(newest.get('air-temp')).toEqual({ quantity: 'air-temp', time: atMs / 1000, value: 16, flags: 0 })
    expect(newest.get('light')).toMatchObject({ value: 900 })

    await ask(hub, 'PUT', 'gardens/home/nodes/n1', { name: 'moved' })
    await vi.waitFor(() => expect(live.events).toContainEqual({ type: 'garden' }), 5_000)
    live.stop()
    await client.endAsync()
  })

  it('shows on the node what was refused of it, and counts it', async () => {
    await setUpHome(hub)
    const client = await node(hub)
    await client.publishAsync('gardens/home/nodes/n1/readings', 'no SenML at all', { qos: 1 })
    await client.publishAsync('gardens/home/nodes/n1/presence', 'asleep', { qos: 1, retain: true })
    await client.endAsync()
    const { body } = await ask(hub, 'GET', 'gardens/home/nodes/n1')
    expect(body).toMatchObject({
      presence: 'asleep',
      refusals: { total: 1, latest: { excerpt: 'no SenML at all' } },
    })
    const metrics = await (await fetch(`${hub.httpUrl}/metrics`)).text()
    expect(metrics).toMatch(/^hearting_packs_refused_total\{reason="[a-z-]+"\} 1$/m)
    expect((await fetch(`${hub.httpUrl}/readyz`)).status).toBe(200)
  })

  it('shows packs that named no node, so that a mistyped topic is found', async () => {
    const client = await node(hub)
    await client.publishAsync('gardens/home/nodes/No Such/readings', '[]', { qos: 1 })
    await client.publishAsync('garden/home/n1', '[]', { qos: 1 })
    await client.endAsync()
    const { body } = await ask(hub, 'GET', 'gardens/home/stray-packs')
    expect(body).toMatchObject({ total: 2, byReason: { topic: 2 } })
    expect(body.latest.message).toContain('gardens/{garden}/nodes/{node}/readings')
  })

  it('keeps everything over a restart', async () => {
    await setUpHome(hub)
    const client = await node(hub)
    await publish(client, 'n1', minutesAgo(2), { 'air-temp': 15 })
    await client.endAsync()
    await hub.close()
    hub = await startOn(folder.dataDir)
    expect((await ask(hub, 'GET', 'gardens')).body).toMatchObject([{ id: 'home', name: 'Plot' }])
    const { body } = await ask(hub, 'GET', 'gardens/home/beds/long/series?quantity=air-temp')
    expect(body.value).toEqual([15])
  })

  it('stops while nodes publish and pages watch; nothing acknowledged is missing after', async () => {
    await setUpHome(hub)
    const live = await followLive(hub)
    const client = await connectAsync(hub.mqttUrl, { reconnectPeriod: 0 })
    client.on('error', () => {})
    const acknowledged: number[] = []
    const firstMs = minutesAgo(300)
    let stopped = false
    const publishing = (async () => {
      for (let i = 0; !stopped; i++) {
        try {
          await publish(client, 'n1', firstMs + i * 1000, { 'air-temp': i })
          acknowledged.push(i)
        } catch {
          return
        }
      }
    })()
    client.on('close', () => client.end(true))
    await vi.waitFor(() => expect(acknowledged.length).toBeGreaterThan(50), 10_000)
    await hub.close()
    stopped = true
    await live.ended
    client.end(true)
    await Promise.race([publishing, new Promise<void>((resolve) => client.on('close', () => resolve()))])

    hub = await startOn(folder.dataDir)
    const from = new Date(firstMs).toISOString()
    const { body } = await ask(
      hub,
      'GET',
      `gardens/home/beds/long/series?quantity=air-temp&from=${from}&points=20000`,
    )
    expect(body.value).toEqual(expect.arrayContaining(acknowledged))
    expect(new Set(body.time).size).toBe(body.time.length)
  })

  it('says so when a database has failed beyond repair', async () => {
    const other = await newDataDir()
    let crash: (error: Error) => void = () => {}
    const failing = await startOn(other.dataDir, {
      openStore: (dataDir, onCrash) => {
        crash = onCrash
        return openSqliteStore({ dataDir })
      },
    })
    crash(new Error('thread ended'))
    expect(await failing.failed).toMatchObject({ message: 'thread ended' })
    await failing.close()
    await other.remove()
  })

  it('closes once, however often it is asked', async () => {
    await Promise.all([hub.close(), hub.close()])
    await hub.close()
    hub = await startOn(folder.dataDir)
  })

  it('says that its folder is in use, and leaves nothing behind when it cannot start', async () => {
    await expect(startOn(folder.dataDir)).rejects.toMatchObject({ code: 'IN_USE' })
    const taken = Number(new URL(hub.httpUrl).port)
    const other = await newDataDir()
    const config = Config.parse({ dataDir: other.dataDir, httpPort: taken, mqttPort: 0 })
    await expect(startHub(config, { log: silent, doors: 'open' })).rejects.toMatchObject({
      code: 'EADDRINUSE',
    })
    // the folder was released, or this would be refused
    const second = await startOn(other.dataDir)
    await second.close()
    await other.remove()
  })
})
