/** What is particular to a broker of its own: sessions, doors, and a connection that comes and goes. */
import { once } from 'node:events'
import { createServer, type Server } from 'node:net'
import mqttPacket from 'mqtt-packet'
import { afterEach, describe, expect, it } from 'vitest'
import {
  connectExternalBroker,
  type ExternalBroker,
  type ExternalBrokerOptions,
} from '../../../hub/ingest/external-broker.js'
import type { Ingest, Log } from '../../../hub/ingest/ingest.js'
import {
  hasMosquitto,
  type MosquittoForTest,
  type MosquittoSettings,
  mosquittoNote,
  startMosquitto,
} from '../../support/mosquitto.js'
import { makeCertificates } from '../../support/test-certificates.js'
import {
  type JoinedHub,
  joinHub,
  PRESENCE,
  pack,
  READINGS,
  type StartBroker,
  stored,
} from '../broker-contract.js'
import { until } from '../hub-under-test.js'

interface Said {
  readonly level: string
  readonly message: string
}

describe.skipIf(!hasMosquitto)(`a hub at a Mosquitto of its own${mosquittoNote}`, () => {
  let server: MosquittoForTest | null = null
  const hubs: JoinedHub[] = []
  const said: Said[] = []
  afterEach(async () => {
    for (const hub of hubs.splice(0)) await hub.dispose()
    await server?.dispose()
    server = null
    said.length = 0
  })

  const start = async (settings?: MosquittoSettings): Promise<MosquittoForTest> => {
    server = await startMosquitto(settings)
    return server
  }
  const recording = (log: Log): Log => ({
    ...log,
    debug: () => {},
    info: (...args: unknown[]) => said.push({ level: 'info', message: String(args.at(-1)) }),
    warn: (...args: unknown[]) => said.push({ level: 'warn', message: String(args.at(-1)) }),
    error: (...args: unknown[]) => said.push({ level: 'error', message: String(args.at(-1)) }),
  })
  const connectWith =
    (options: Partial<ExternalBrokerOptions>, waits = true): StartBroker =>
    async (ingest: Ingest, log) => {
      const broker = connectExternalBroker({
        url: server!.url,
        user: null,
        password: null,
        clientId: 'hub',
        ingest,
        log: recording(log),
        maxPacketBytes: 65_536,
        firstPauseMs: 20,
        ...options,
      })
      if (waits) await until('the hub listens', () => broker.isListening())
      return { broker, url: server!.url }
    }
  async function hub(options: Partial<ExternalBrokerOptions> = {}, waits = true): Promise<JoinedHub> {
    const joined = await joinHub(connectWith(options, waits))
    hubs.push(joined)
    return joined
  }
  const externalOf = (joined: JoinedHub): ExternalBroker => joined.broker as ExternalBroker

  it('gets what nodes published while it was away', async () => {
    await start()
    const first = await hub()
    await hubs.pop()!.dispose()
    const node = await (await import('mqtt')).default.connectAsync(server!.url)
    for (let i = 1; i <= 50; i++) await node.publishAsync(READINGS, pack(i), { qos: 1 })
    await node.endAsync()
    const second = await hub()
    await until('all are stored', async () => (await stored(second)).length === 50)
    expect(first.broker.isListening()).toBe(false)
    expect(said.map(({ message }) => message)).toContain('broker: connected, what waited is coming')
  })

  it('comes back when the broker does, with what was published meanwhile and what it had to say', async () => {
    await start()
    const joined = await hub()
    await server!.stop()
    await until('it is known', () => !joined.broker.isListening())
    expect(externalOf(joined).trouble()).toMatch(/connection broke|cannot be reached/)
    const topic = 'gardens/home/beds/long/warnings/frost'
    const superseded = joined.broker.publish(topic, 'old', { retain: true, qos: 1 })
    const waiting = joined.broker.publish(topic, 'new', { retain: true, qos: 1 })
    await expect(joined.broker.publish(topic, 'now or never')).rejects.toThrow(/away/)
    await superseded
    await server!.start()
    await waiting
    await until('it listens again', () => joined.broker.isListening())
    expect(externalOf(joined).trouble()).toBeNull()
    const node = await joined.connect()
    const heard: string[] = []
    node.on('message', (_topic, payload) => heard.push(payload.toString()))
    await node.subscribeAsync(topic, { qos: 1 })
    await until('the warning is heard', () => heard.length > 0)
    expect(heard).toEqual(['new'])
    await node.publishAsync(READINGS, pack(1), { qos: 1 })
    await until('it is stored', async () => (await stored(joined)).length === 1)
    expect(externalOf(joined).connects()).toBe(2)
    expect(said.filter(({ level }) => level === 'error').length).toBeLessThanOrEqual(2)
  })

  it('says why it is turned away, goes on trying, and comes in when the password is put right', async () => {
    const settings: MosquittoSettings = { users: { hub: 'right', node: 'leaf' } }
    await start(settings)
    const wrong = await hub({ user: 'hub', password: 'wrong' }, false)
    await until('it is said', () => said.some(({ message }) => /HEARTING_BROKER_PASSWORD/.test(message)))
    await until('it tried again', () => wrong.broker.isListening() === false)
    expect(externalOf(wrong).trouble()).toMatch(/turns the hub away/)
    expect(JSON.stringify(said)).not.toMatch(/wrong/)
    expect(said.filter(({ message }) => /turns the hub away/.test(message))).toHaveLength(1)
    const right = await hub({ user: 'hub', password: 'right', clientId: 'hub-2' })
    const node = await right.connect({ username: 'node', password: 'leaf' })
    await node.publishAsync(READINGS, pack(1), { qos: 1 })
    await until('it is stored', async () => (await stored(right)).length === 1)
  })

  it('leaves it to the broker’s access list that a node publishes under its own topics only', async () => {
    await start({
      users: { hub: 'h', 'bed-a': 'a', 'bed-b': 'b' },
      acl: [
        'user hub',
        'topic read gardens/+/nodes/+/readings',
        'topic read gardens/+/nodes/+/presence',
        'topic write gardens/#',
        '',
        'pattern write gardens/home/nodes/%u/readings',
        'pattern write gardens/home/nodes/%u/presence',
        '',
      ].join('\n'),
    })
    const joined = await hub({ user: 'hub', password: 'h' })
    const stranger = await joined.connect({ username: 'bed-b', password: 'b' })
    await stranger.publishAsync(READINGS, pack(66), { qos: 1 })
    // this version of Mosquitto acknowledges what it denies, and then hangs up
    const again = await joined.connect({ username: 'bed-b', password: 'b' })
    await again.publishAsync(PRESENCE, 'gone', { qos: 1 })
    const node = await joined.connect({ username: 'bed-a', password: 'a' })
    await node.publishAsync(PRESENCE, 'awake', { qos: 1 })
    await node.publishAsync(READINGS, pack(1), { qos: 1 })
    await until('the node’s own is stored', async () => (await stored(joined)).length > 0)
    expect(await stored(joined)).toEqual([1])
    expect(joined.ingest.presence('home', 'bed-a')?.presence).toBe('awake')
  })

  it('speaks TLS, and trusts no broker that its authority did not sign', async () => {
    const tls = await makeCertificates()
    await start({ tls })
    const stranger = await hub({ clientId: 'trusting' }, false)
    await until('it is said', () => said.some(({ message }) => /HEARTING_BROKER_CA_FILE/.test(message)))
    expect(stranger.broker.isListening()).toBe(false)
    const joined = await hub({ ca: tls.ca })
    const node = await joined.connect({ ca: tls.ca })
    await node.publishAsync(READINGS, pack(1), { qos: 1 })
    await until('it is stored', async () => (await stored(joined)).length === 1)
  })

  it('says so when another hub takes its place', async () => {
    await start()
    const one = await hub()
    await hub()
    await until('it is said', () => said.some(({ message }) => /HEARTING_BROKER_CLIENT_ID/.test(message)))
    await one.broker.close()
  })
})

describe('a hub at a broker that misbehaves', () => {
  const open: { server: Server; broker: ExternalBroker }[] = []
  afterEach(async () => {
    for (const { server, broker } of open.splice(0)) {
      await broker.close()
      server.close()
    }
  })

  /** A broker of a few lines: answers each CONNECT as told and hangs up when that is a refusal. */
  async function fakeBroker(
    answer: (version: number) => Buffer | null,
  ): Promise<{ broker: ExternalBroker; versions: number[] }> {
    const versions: number[] = []
    const server = createServer((socket) => {
      socket.on('error', () => {})
      const parser = mqttPacket.parser()
      parser.on('packet', (packet) => {
        if (packet.cmd !== 'connect') return
        const version = packet.protocolVersion ?? 4
        versions.push(version)
        const reply = answer(version)
        if (reply === null) socket.destroy()
        else socket.write(reply)
      })
      socket.on('data', (chunk: Buffer) => parser.parse(chunk))
    })
    server.listen(0, '127.0.0.1')
    await once(server, 'listening')
    const { port } = server.address() as { port: number }
    const silent = { debug() {}, info() {}, warn() {}, error() {} }
    const joined = await joinHub(async (ingest) => ({
      broker: connectExternalBroker({
        url: `mqtt://127.0.0.1:${port}`,
        user: null,
        password: null,
        ingest,
        log: silent,
        maxPacketBytes: 65_536,
        firstPauseMs: 5,
      }),
      url: '',
    }))
    const broker = joined.broker as ExternalBroker
    open.push({ server, broker })
    return { broker, versions }
  }

  it('goes on with MQTT 3.1.1 where 5.0 is not spoken', async () => {
    const refusal = mqttPacket.generate({ cmd: 'connack', returnCode: 1, sessionPresent: false })
    const { versions } = await fakeBroker(() => refusal)
    await until('it tried both', () => versions.includes(5) && versions.includes(4))
    expect(versions[0]).toBe(5)
  })

  it('comes back again and again, with longer and longer pauses, when it is hung up on', async () => {
    const at: number[] = []
    const { broker } = await fakeBroker(() => {
      at.push(performance.now())
      return null
    })
    await until('it came many times', () => at.length >= 8)
    expect(broker.isListening()).toBe(false)
    // the last pauses are at least 0.5 × 5 ms × 2^5; the first at most 1.5 × 5 ms and what the machine adds
    expect(at[7]! - at[6]!).toBeGreaterThan(150)
  })
})
