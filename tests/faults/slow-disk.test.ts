/** A disk whose sync takes 200 ms, as SD cards have them, must hold up neither MQTT nor the event loop. */
import { monitorEventLoopDelay } from 'node:perf_hooks'
import { afterEach, describe, expect, it } from 'vitest'
import { type HubUnderTest, NOW_MS, startHubUnderTest, until } from '../ingest/hub-under-test.js'

const TOPIC = 'gardens/home/nodes/bed-a/readings'
const AIR = { garden: 'home', node: 'bed-a', quantity: 'air-temp' }
const pack = (i: number): string => JSON.stringify([{ n: 'air-temp', u: 'Cel', t: NOW_MS / 1000 - i, v: i }])
const SYNC_MS = 200

describe('on a slow disk', () => {
  let hub: HubUnderTest
  afterEach(() => hub.dispose())

  it('the hub groups what comes in into few syncs, and answers pings meanwhile', async () => {
    let syncs = 0
    let underWay = 0
    hub = await startHubUnderTest({
      async append(readings, receivedAtMs) {
        expect(++underWay).toBe(1)
        syncs++
        await new Promise((resolve) => setTimeout(resolve, SYNC_MS))
        underWay--
        return hub.store.append(readings, receivedAtMs)
      },
    })
    const nodes = await Promise.all(Array.from({ length: 10 }, () => hub.connect()))
    const watcher = await hub.connect()
    let acknowledged = 0
    const published = nodes.flatMap((node, n) =>
      Array.from({ length: 20 }, (_, i) =>
        node.publishAsync(TOPIC, pack(n * 20 + i), { qos: 1 }).then(() => acknowledged++),
      ),
    )
    await until('a sync is under way', () => underWay === 1)
    expect(acknowledged).toBe(0)
    // another client is served while nothing is acknowledged
    await watcher.subscribeAsync('gardens/home/beds/#')
    expect(acknowledged).toBe(0)
    await Promise.all(published)
    expect(await hub.store.countRange(AIR, 0, 2 * NOW_MS)).toBe(200)
    // one sync a pack would be 200
    expect(syncs).toBeLessThanOrEqual(12)
  })

  it('the event loop stays free while the store itself is stuck in a long write', async () => {
    hub = await startHubUnderTest()
    // one huge commit keeps the real writer thread busy for long
    const readings = Array.from({ length: 300_000 }, (_, i) => ({
      ...AIR,
      timeMs: i * 1000,
      value: 15,
      flags: 0,
    }))
    const loop = monitorEventLoopDelay({ resolution: 5 })
    let stored = false
    const startedAt = performance.now()
    const append = hub.store.append(readings, NOW_MS).then(() => {
      stored = true
      return performance.now() - startedAt
    })
    const client = await hub.connect()
    loop.enable()
    let served = 0
    while (!stored) {
      await client.subscribeAsync(`gardens/home/beds/${served}/#`)
      if (!stored) served++
    }
    loop.disable()
    const busyMs = await append
    // served again and again within the one write, and no pause of the loop comes near its length
    expect(served).toBeGreaterThan(5)
    expect(loop.max / 1e6).toBeLessThan(busyMs / 2)
  })

  it('a store that is down for a moment costs no reading and no connection', async () => {
    const { StoreError } = await import('../../hub/store/port.js')
    let failures = 3
    hub = await startHubUnderTest({
      append(readings, receivedAtMs) {
        if (failures-- > 0) throw new StoreError('STORE_FULL', 'no room', true)
        return hub.store.append(readings, receivedAtMs)
      },
    })
    const client = await hub.connect()
    await client.publishAsync(TOPIC, pack(1), { qos: 1 })
    expect(client.connected).toBe(true)
    expect(await hub.store.countRange(AIR, 0, 2 * NOW_MS)).toBe(1)
    expect(hub.ingest.totals().failedCommits).toBe(3)
  })

  it('a store that stays down acknowledges nothing; the node sends again, and it is stored once', async () => {
    const { StoreError } = await import('../../hub/store/port.js')
    let isDown = true
    hub = await startHubUnderTest({
      keepTryingMs: 0,
      append(readings, receivedAtMs) {
        if (isDown) throw new StoreError('STORE_UNAVAILABLE', 'down', true)
        return hub.store.append(readings, receivedAtMs)
      },
    })
    const client = await hub.connect({ reconnectPeriod: 50, clientId: 'bed-a', clean: false })
    let acknowledged = false
    const published = client.publishAsync(TOPIC, pack(1), { qos: 1 }).then(() => {
      acknowledged = true
    })
    await until('it was tried twice', () => hub.ingest.totals().failedCommits >= 2)
    expect(acknowledged).toBe(false)
    isDown = false
    await published
    expect(await hub.store.countRange(AIR, 0, 2 * NOW_MS)).toBe(1)
  })
})
