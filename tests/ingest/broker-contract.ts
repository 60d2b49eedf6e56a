/**
 * What holds whichever broker nodes publish to: the one inside the hub or one of its own. A broker's test calls
 * `brokerContract(name, start)`. When a node is told "received" differs (inside the hub: when it is stored), so
 * here everything is waited for.
 */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import mqtt, { type IClientOptions, type MqttClient } from 'mqtt'
import pino from 'pino'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { NodeBroker } from '../../hub/ingest/broker-port.js'
import { createIngest, type Ingest, type IngestOptions } from '../../hub/ingest/ingest.js'
import { topicsUnder } from '../../hub/ingest/topics.js'
import { StoreError } from '../../hub/store/port.js'
import { openSqliteStore, type SqliteStore } from '../../hub/store/sqlite/open-sqlite-store.js'
import { NOW_MS, until } from './hub-under-test.js'

export interface JoinedBroker {
  readonly broker: NodeBroker
  /** where nodes connect to */
  readonly url: string
}

/** Starts the broker, or connects to it, with `ingest` behind; resolves when it listens. */
export type StartBroker = (ingest: Ingest, log: pino.Logger) => Promise<JoinedBroker>

export interface JoinedHub extends JoinedBroker {
  readonly ingest: Ingest
  readonly store: SqliteStore
  connect(options?: IClientOptions): Promise<MqttClient>
  dispose(): Promise<void>
}

export async function joinHub(start: StartBroker, options: Partial<IngestOptions> = {}): Promise<JoinedHub> {
  const dataDir = await mkdtemp(join(tmpdir(), 'hearting-broker-'))
  const store = await openSqliteStore({ dataDir })
  const log = pino({ level: process.env.HEARTING_LOG_LEVEL ?? 'silent' })
  const ingest = createIngest({
    append: (readings, receivedAtMs) => store.append(readings, receivedAtMs),
    now: () => NOW_MS,
    horizonMs: 400 * 86_400_000,
    acceptsGarden: (garden) => garden === 'home',
    log,
    ...options,
  })
  const joined = await start(ingest, log)
  const clients: MqttClient[] = []
  return {
    ...joined,
    ingest,
    store,
    async connect(clientOptions = {}) {
      const client = await mqtt.connectAsync(joined.url, { reconnectPeriod: 0, ...clientOptions })
      client.on('error', () => {})
      clients.push(client)
      return client
    },
    async dispose() {
      await Promise.all(clients.map((client) => client.endAsync(true)))
      await ingest.close()
      await joined.broker.close()
      await store.close()
      await rm(dataDir, { recursive: true })
    },
  }
}

const topics = topicsUnder()
export const READINGS = topics.readings('home', 'bed-a')
export const PRESENCE = topics.presence('home', 'bed-a')
export const AIR = { garden: 'home', node: 'bed-a', quantity: 'air-temp' }
/** a reading of its own: i seconds ago, i degrees */
export const pack = (i: number): string =>
  JSON.stringify([{ n: 'air-temp', u: 'Cel', t: NOW_MS / 1000 - i, v: i }])
export const stored = async ({ store }: Pick<JoinedHub, 'store'>): Promise<number[]> => [
  ...(await store.readRange(AIR, 0, 2 * NOW_MS)).value,
]

export function brokerContract(name: string, start: StartBroker): void {
  describe(`through ${name}`, () => {
    let hub: JoinedHub
    let failing: StoreError | null
    let appends: number
    beforeEach(async () => {
      failing = null
      appends = 0
      hub = await joinHub(start, {
        keepTryingMs: 0,
        append(readings, receivedAtMs) {
          appends++
          if (failing) throw failing
          return hub.store.append(readings, receivedAtMs)
        },
      })
    })
    afterEach(() => hub.dispose())
    const all = async (count: number): Promise<number[]> => {
      await until(`${count} readings are stored`, async () => (await stored(hub)).length >= count)
      return (await stored(hub)).sort((a, b) => a - b)
    }

    it('what nodes publish is stored, at any quality of service, once', async () => {
      expect(hub.broker.isListening()).toBe(true)
      const node = await hub.connect()
      await node.publishAsync(READINGS, pack(1), { qos: 1 })
      await node.publishAsync(READINGS, pack(2), { qos: 2 })
      node.publish(READINGS, pack(3), { qos: 0 })
      await node.publishAsync(READINGS, pack(1), { qos: 1 })
      expect(await all(3)).toEqual([1, 2, 3])
      expect(hub.broker.connections()).toBeGreaterThan(0)
      expect(hub.ingest.heardNodes('home')).toEqual(['bed-a'])
    })

    it('bad packs are counted for their node, and good ones go on', async () => {
      const node = await hub.connect()
      await node.publishAsync(READINGS, 'not json', { qos: 1 })
      await node.publishAsync(READINGS, '[{"n":"air-temp","u":"F","v":70}]', { qos: 1 })
      await node.publishAsync(topics.readings('nowhere', 'bed-a'), pack(7), { qos: 1 })
      // the broker inside the hub hangs up on it
      node.publishAsync(READINGS, Buffer.alloc(400_000, 0x20), { qos: 1 }).catch(() => {})
      const other = await hub.connect()
      await other.publishAsync(READINGS, pack(5), { qos: 1 })
      expect(await all(1)).toEqual([5])
      await until('the large one is refused', () => hub.ingest.totals().refused['too-large'] === 1)
      expect(hub.ingest.refusals('home', 'bed-a').byReason).toEqual({
        'not-json': 1,
        unit: 1,
        'too-large': 1,
      })
      expect(hub.ingest.totals().refused.topic).toBe(1)
    })

    it('many packs share a commit', async () => {
      let isOpen = false
      const opened = until('the gate opens', () => isOpen)
      await hub.dispose()
      hub = await joinHub(start, {
        async append(readings, receivedAtMs) {
          appends++
          await opened
          return hub.store.append(readings, receivedAtMs)
        },
      })
      const nodes = await Promise.all(Array.from({ length: 10 }, () => hub.connect()))
      const published = Promise.all(
        Array.from({ length: 300 }, (_, i) => nodes[i % 10]!.publishAsync(READINGS, pack(i), { qos: 1 })),
      )
      published.catch(() => {})
      await until('they wait for one commit', () => hub.ingest.totals().waiting >= 10)
      isOpen = true
      await published
      expect(await all(300)).toHaveLength(300)
      expect(appends).toBeLessThan(100)
    })

    it('a store that is down for a while loses nothing and doubles nothing', async () => {
      const node = await hub.connect({ reconnectPeriod: 20, clientId: 'bed-a', clean: false })
      failing = new StoreError('STORE_UNAVAILABLE', 'down', true)
      const published = Promise.all([1, 2, 3].map((i) => node.publishAsync(READINGS, pack(i), { qos: 1 })))
      await until('it was tried more than once', () => appends >= 2)
      failing = null
      await published
      expect(await all(3)).toEqual([1, 2, 3])
    })

    it('presence of nodes is heard, their last will too', async () => {
      const node = await hub.connect({
        will: { topic: PRESENCE, payload: Buffer.from('gone'), qos: 1, retain: true },
      })
      await node.publishAsync(PRESENCE, 'awake', { qos: 1, retain: true })
      await until('it is awake', () => hub.ingest.presence('home', 'bed-a')?.presence === 'awake')
      node.stream.destroy()
      await until('it is gone', () => hub.ingest.presence('home', 'bed-a')?.presence === 'gone')
    })

    it('retained settings and warnings reach whoever comes later, and an empty one clears them', async () => {
      const heard = async (topic: string): Promise<string | null> => {
        const client = await hub.connect()
        let last: string | null = null
        client.on('message', (_topic, payload) => {
          last = payload.toString()
        })
        await client.subscribeAsync(topic, { qos: 1 })
        // what is retained comes before the answer to a second subscription
        await client.subscribeAsync(`${topic}/after`, { qos: 1 })
        return last
      }
      const topic = topics.settings('home', 'bed-a')
      await hub.broker.publish(topic, '{"intervalS":60}', { retain: true, qos: 1 })
      expect(await heard(topic)).toBe('{"intervalS":60}')
      const warning = topics.warning('home', 'long', 'frost')
      await hub.broker.publish(warning, '{"kind":"frost"}', { retain: true, qos: 1 })
      expect(await heard(warning)).toBe('{"kind":"frost"}')
      await hub.broker.publish(warning, '', { retain: true, qos: 1 })
      expect(await heard(warning)).toBeNull()
    })

    it('a retained pack of readings is not stored again by a hub that starts later', async () => {
      const node = await hub.connect()
      await node.publishAsync(READINGS, '[{"n":"air-temp","u":"Cel","t":-5,"v":9}]', { qos: 1, retain: true })
      expect(await all(1)).toEqual([9])
      const { store } = hub
      const later = await joinHub(start, {
        now: () => NOW_MS + 60_000,
        append: (readings, receivedAtMs) => store.append(readings, receivedAtMs),
      })
      try {
        const other = await later.connect()
        await other.publishAsync(READINGS, pack(1), { qos: 1 })
        await until('the later one is stored', async () => (await stored(hub)).includes(1))
        expect((await stored(hub)).filter((v) => v === 9)).toHaveLength(1)
        await other.publishAsync(READINGS, '', { retain: true, qos: 1 })
      } finally {
        await later.dispose()
      }
    })
  })
}
