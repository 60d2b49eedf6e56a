import { createConnection } from 'node:net'
import mqttPacket, { type Packet } from 'mqtt-packet'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { StoredReadings } from '../../hub/ingest/stored-readings.js'
import { type HubUnderTest, NOW_MS, startHubUnderTest, until } from './hub-under-test.js'

const TOPIC = 'gardens/home/nodes/bed-a/readings'
const PRESENCE = 'gardens/home/nodes/bed-a/presence'
const AIR = { garden: 'home', node: 'bed-a', quantity: 'air-temp' }
const NOW_S = NOW_MS / 1000

describe('the embedded broker', () => {
  let hub: HubUnderTest
  const stored: StoredReadings[] = []
  beforeEach(async () => {
    stored.length = 0
    hub = await startHubUnderTest({ onStored: (s) => stored.push(s) })
  })
  afterEach(() => hub.dispose())

  const air = async (): Promise<number[]> => [...(await hub.store.readRange(AIR, 0, 2 * NOW_MS)).value]

  it('has stored a reading when it acknowledges it', async () => {
    const client = await hub.connect()
    const pack = [
      { bt: NOW_S - 60, n: 'air-temp', u: 'Cel', v: 17.4 },
      { n: 'light', u: 'lx', v: 38100 },
    ]
    await client.publishAsync(TOPIC, JSON.stringify(pack), { qos: 1 })
    expect(await air()).toEqual([17.4])
    expect((await hub.store.latest('home')).map((r) => [r.quantity, r.value, r.timeMs])).toEqual([
      ['air-temp', 17.4, NOW_MS - 60_000],
      ['light', 38100, NOW_MS - 60_000],
    ])
    expect(stored.flatMap((s) => s.readings)).toHaveLength(2)
    expect(hub.ingest.heardNodes('home')).toEqual(['bed-a'])
  })

  it('stores what comes at QoS 0 and QoS 2 as well', async () => {
    const client = await hub.connect()
    const pack = (t: number, v: number): string =>
      JSON.stringify([{ n: 'air-temp', u: 'Cel', t: NOW_S + t, v }])
    client.publish(TOPIC, pack(-2, 1), { qos: 0 })
    await client.publishAsync(TOPIC, pack(-1, 2), { qos: 2 })
    await until('both are stored', async () => (await air()).length === 2)
  })

  it('acknowledges a bad pack, counts it for its node, and keeps taking good ones', async () => {
    const client = await hub.connect()
    await client.publishAsync(TOPIC, 'not json', { qos: 1 })
    await client.publishAsync(TOPIC, '[{"n":"air-temp","u":"F","v":70}]', { qos: 1 })
    await client.publishAsync(TOPIC, '[{"n":"air-temp","u":"Cel","v":21}]', { qos: 1 })
    const refusals = hub.ingest.refusals('home', 'bed-a')
    expect(refusals.total).toBe(2)
    expect(refusals.byReason).toEqual({ 'not-json': 1, unit: 1 })
    expect(refusals.latest).toMatchObject({
      reason: 'unit',
      message: 'air-temp in "F": send it in Cel or K',
      excerpt: '[{"n":"air-temp","u":"F","v":70}]',
      atMs: NOW_MS,
    })
    expect(await air()).toEqual([21])
  })

  it('acknowledges in the order of the publishes, the refused ones too', async () => {
    const socket = createConnection(hub.broker.port, '127.0.0.1')
    const heard: number[] = []
    socket.on('data', (chunk: Buffer) => heard.push(...chunk))
    const hello: Packet = {
      cmd: 'connect',
      protocolId: 'MQTT',
      protocolVersion: 4,
      clean: true,
      clientId: 'x',
      keepalive: 0,
    }
    socket.write(mqttPacket.generate(hello))
    await until('the greeting is answered', () => heard.length === 4)
    // a good pack waits for the disk, a bad one is decided at once: it must wait its turn all the same
    const payloads = ['[{"n":"air-temp","v":1}]', 'bad', '[{"n":"light","v":1}]', 'bad', 'bad']
    const packets = payloads.map((payload, i) =>
      mqttPacket.generate({
        cmd: 'publish',
        topic: TOPIC,
        payload,
        qos: 1,
        messageId: i + 1,
        retain: false,
        dup: false,
      }),
    )
    socket.write(Buffer.concat(packets))
    await until('all are acknowledged', () => heard.length === 4 + 4 * payloads.length)
    expect(heard.slice(4).filter((_, i) => i % 4 === 3)).toEqual([1, 2, 3, 4, 5])
    socket.destroy()
  })

  it('passes good packs on to subscribers, unretained, and refused ones to nobody', async () => {
    const listener = await hub.connect()
    const heard: [string, string, boolean][] = []
    listener.on('message', (topic, payload, packet) => heard.push([topic, payload.toString(), packet.retain]))
    await listener.subscribeAsync(['#', 'gardens/+/nodes/+/readings'], { qos: 1 })
    const client = await hub.connect()
    await client.publishAsync(TOPIC, 'rubbish', { qos: 1, retain: true })
    await client.publishAsync('elsewhere/x', 'hello', { qos: 1, retain: true })
    const good = '[{"n":"air-temp","u":"Cel","v":21}]'
    await client.publishAsync(TOPIC, good, { qos: 1, retain: true })
    await until('the good one is heard', () => heard.length > 0)
    expect(heard).toEqual([[TOPIC, good, false]])
    const late = await hub.connect()
    const retained: string[] = []
    late.on('message', (topic) => retained.push(topic))
    await late.subscribeAsync('#')
    await late.subscribeAsync('gardens/#')
    expect(retained).toEqual([])
  })

  it('refuses topics outside the contract and gardens it does not have, without a loop', async () => {
    const client = await hub.connect()
    for (const topic of [
      'gardens/home/nodes/../readings',
      'gardens/home/nodes/Bed/readings',
      'gardens/home/nodes/bed-a/settings',
      'gardens/home/beds/a/warnings/frost',
      'home/bed-a',
      'gardens/nowhere/nodes/bed-a/readings',
    ])
      await client.publishAsync(topic, '[{"n":"air-temp","v":1}]', { qos: 1 })
    expect(hub.ingest.totals().refused).toEqual({ topic: 6 })
    expect(hub.ingest.refusals('home', null).total).toBe(3)
    expect(hub.ingest.refusals('home', 'bed-a').total).toBe(1)
    expect(hub.ingest.refusals('', null).total).toBe(2)
    expect(await hub.store.listSeries('home')).toEqual([])
  })

  it('says gone for a node whose connection breaks, from its last will', async () => {
    const node = await hub.connect({
      will: { topic: PRESENCE, payload: Buffer.from('gone'), qos: 1, retain: true },
    })
    await node.publishAsync(PRESENCE, 'awake', { qos: 1, retain: true })
    expect(hub.ingest.presence('home', 'bed-a')).toEqual({ presence: 'awake', atMs: NOW_MS })
    node.stream.destroy()
    await until('the will is out', () => hub.ingest.presence('home', 'bed-a')?.presence === 'gone')
    const late = await hub.connect()
    const heard: string[] = []
    late.on('message', (_topic, payload) => heard.push(payload.toString()))
    await late.subscribeAsync(PRESENCE)
    await until('the retained presence is heard', () => heard.length > 0)
    expect(heard).toEqual(['gone'])
    await late.publishAsync(PRESENCE, 'dancing', { qos: 1 })
    expect(hub.ingest.refusals('home', 'bed-a').byReason).toEqual({ presence: 1 })
  })

  it('hands retained settings to a node that connects later', async () => {
    await hub.broker.publish('gardens/home/nodes/bed-a/settings', '{"intervalS":60}', {
      retain: true,
      qos: 1,
    })
    const node = await hub.connect()
    const heard: string[] = []
    node.on('message', (_topic, payload) => heard.push(payload.toString()))
    await node.subscribeAsync('gardens/home/nodes/bed-a/settings', { qos: 1 })
    await until('settings are heard', () => heard.length > 0)
    expect(heard).toEqual(['{"intervalS":60}'])
  })

  it('keeps its own $SYS topics to itself', async () => {
    const client = await hub.connect()
    await expect(client.subscribeAsync('$SYS/#')).rejects.toThrow()
    await client.publishAsync('$SYS/anything', 'x', { qos: 1 })
    expect(hub.ingest.totals().refused).toEqual({ topic: 1 })
  })

  it('queues no readings for a persistent session that stays away', async () => {
    const client = await hub.connect({ clean: false, clientId: 'onlooker' })
    await expect(client.subscribeAsync('gardens/#', { qos: 1 })).rejects.toThrow()
    await expect(client.subscribeAsync('gardens/home/nodes/+/readings', { qos: 1 })).rejects.toThrow()
    await client.subscribeAsync('gardens/home/nodes/+/readings', { qos: 0 })
    await client.subscribeAsync(['gardens/home/beds/#', 'gardens/home/nodes/bed-a/settings'], { qos: 1 })
    const passing = await hub.connect()
    await passing.subscribeAsync('gardens/#', { qos: 1 })
  })
})

describe('the embedded broker with credentials', () => {
  it('turns strangers away and keeps each node to its own topics', async () => {
    const hub = await startHubUnderTest(
      {},
      {
        authenticate: async ({ username, password }) =>
          password !== null && Buffer.from(password).toString() === 'secret'
            ? {
                mayPublish: (topic) => topic.startsWith(`gardens/home/nodes/${username}/`),
                maySubscribe: (filter) => filter === `gardens/home/nodes/${username}/settings`,
                mayHear: (topic) => topic === `gardens/home/nodes/${username}/settings`,
              }
            : null,
      },
    )
    try {
      await expect(hub.connect({ username: 'bed-a', password: 'wrong' })).rejects.toThrow(/Not authorized/)
      const client = await hub.connect({ username: 'bed-a', password: 'secret' })
      await client.publishAsync('gardens/home/nodes/bed-b/readings', '[{"n":"air-temp","v":1}]', { qos: 1 })
      await client.publishAsync(TOPIC, '[{"n":"air-temp","v":2}]', { qos: 1 })
      await expect(client.subscribeAsync('gardens/#')).rejects.toThrow()
      await client.subscribeAsync('gardens/home/nodes/bed-a/settings')
      expect((await hub.store.latest('home')).map((r) => r.node)).toEqual(['bed-a'])
      expect(hub.ingest.refusals('home', 'bed-b').latest?.reason).toBe('topic')
    } finally {
      await hub.dispose()
    }
  })
})
