/** Bytes that no honest client sends, straight to the broker's socket. Seeds are fixed: a failure can be run again. */
import { once } from 'node:events'
import { createConnection, type Socket } from 'node:net'
import mqttPacket, { type Packet } from 'mqtt-packet'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type HubUnderTest, NOW_MS, startHubUnderTest, until } from '../ingest/hub-under-test.js'

const TOPIC = 'gardens/home/nodes/bed-a/readings'
const AIR = { garden: 'home', node: 'bed-a', quantity: 'air-temp' }

const connect: Packet = {
  cmd: 'connect',
  protocolId: 'MQTT',
  protocolVersion: 4,
  clean: true,
  clientId: 'fuzz',
  keepalive: 30,
}
const publish = (payload: string | Buffer, messageId: number, topic = TOPIC): Buffer =>
  mqttPacket.generate({ cmd: 'publish', topic, payload, qos: 1, messageId, retain: false, dup: false })
const pack = (second: number): string =>
  JSON.stringify([{ n: 'air-temp', u: 'Cel', t: NOW_MS / 1000 - second, v: 15 }])

/** Numbers from 0 to 1 out of a seed (mulberry32). */
function numbers(seed: number): () => number {
  let state = seed
  return () => {
    state = (state + 0x6d2b79f5) | 0
    let t = Math.imul(state ^ (state >>> 15), 1 | state)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32
  }
}

describe('the broker, fed bytes that no client sends', () => {
  let hub: HubUnderTest
  let second = 0
  beforeAll(async () => {
    hub = await startHubUnderTest({}, { connectTimeoutMs: 1_000 })
  })
  afterAll(() => hub.dispose())

  async function dial(): Promise<Socket> {
    const socket = createConnection(hub.broker.port, '127.0.0.1')
    socket.on('error', () => {})
    await once(socket, 'connect')
    return socket
  }
  const closed = (socket: Socket): Promise<boolean> =>
    until('the broker hangs up', () => socket.closed || socket.destroyed)

  /** Sends bytes on a fresh connection, as much as the broker takes, and leaves. */
  async function throwAt(...chunks: Buffer[]): Promise<void> {
    const socket = await dial()
    socket.resume()
    for (const chunk of chunks) {
      if (socket.destroyed) break
      await new Promise((resolve) => socket.write(chunk, resolve))
    }
    socket.destroy()
  }

  async function stillWorks(): Promise<void> {
    const client = await hub.connect()
    await client.publishAsync(TOPIC, pack(++second), { qos: 1 })
    await client.endAsync()
    expect(await hub.store.countRange(AIR, 0, 2 * NOW_MS)).toBeGreaterThanOrEqual(second)
  }

  it('hangs up on noise and lives on', async () => {
    const random = numbers(1)
    for (let round = 0; round < 200; round++) {
      const noise = Buffer.from(Array.from({ length: 1 + Math.floor(random() * 300) }, () => random() * 256))
      await throwAt(noise)
    }
    await stillWorks()
  })

  it('hangs up on spoilt packets after a proper greeting, and lives on', async () => {
    const random = numbers(2)
    const greeting = mqttPacket.generate(connect)
    for (let round = 0; round < 300; round++) {
      const bytes = Buffer.concat([
        publish('[{"n":"x","v":1}]', 1),
        mqttPacket.generate({
          cmd: 'subscribe',
          messageId: 2,
          subscriptions: [{ topic: 'gardens/#', qos: 1 }],
        }),
        publish('[{"n":"x","v":2}]', 3),
        mqttPacket.generate({ cmd: 'pingreq' }),
      ])
      for (let spoilt = 0; spoilt <= random() * 4; spoilt++)
        bytes[Math.floor(random() * bytes.length)] = Math.floor(random() * 256)
      await throwAt(greeting, bytes.subarray(0, Math.ceil(random() * bytes.length)))
    }
    await stillWorks()
  })

  it.each([
    ['a web request', Buffer.from('GET / HTTP/1.1\r\nHost: hub\r\n\r\n')],
    ['a publish before the greeting', publish(pack(0), 1)],
    ['a length that does not end', Buffer.from([0x10, 0xff, 0xff, 0xff, 0xff, 0xff])],
    ['a second greeting', Buffer.concat([mqttPacket.generate(connect), mqttPacket.generate(connect)])],
    [
      'a wildcard in a publish',
      Buffer.concat([
        mqttPacket.generate(connect),
        Buffer.from([0x32, 0x08, 0x00, 0x03, 0x61, 0x2f, 0x23, 0x00, 0x01, 0x78]),
      ]),
    ],
    ['a greeting of MQTT 5', mqttPacket.generate({ ...connect, protocolVersion: 5 } as Packet)],
  ])('hangs up on %s', async (_what, bytes) => {
    const socket = await dial()
    socket.resume()
    socket.write(bytes)
    await closed(socket)
    await stillWorks()
  })

  it('hangs up on a visitor who says nothing', async () => {
    const socket = await dial()
    socket.resume()
    await closed(socket)
  })

  it('understands a greeting and a publish that come byte by byte', async () => {
    const socket = await dial()
    const heard: number[] = []
    socket.on('data', (chunk: Buffer) => heard.push(...chunk))
    const bytes = Buffer.concat([mqttPacket.generate(connect), publish(pack(++second), 77)])
    for (const byte of bytes) await new Promise((resolve) => socket.write(Buffer.of(byte), resolve))
    await until('the acknowledgement is there', () => heard.length >= 8)
    expect(heard).toEqual([0x20, 2, 0, 0, 0x40, 2, 0, 77])
    socket.destroy()
  })

  it('lets 10 MB pass no further than their topic, counts them for their node, and keeps what came before', async () => {
    const before = hub.ingest.refusals('home', 'bed-a').byReason['too-large'] ?? 0
    const memoryBefore = process.memoryUsage.rss()
    const socket = await dial()
    const heard: number[] = []
    socket.on('data', (chunk: Buffer) => heard.push(...chunk))
    socket.write(Buffer.concat([mqttPacket.generate(connect), publish(pack(++second), 5)]))
    await until('the good one is acknowledged', () => heard.length >= 8)
    socket.write(publish(Buffer.alloc(10_000_000, 0x20), 6))
    await closed(socket)
    expect(heard.slice(4)).toEqual([0x40, 2, 0, 5])
    const refusals = hub.ingest.refusals('home', 'bed-a')
    expect(refusals.byReason['too-large']).toBe(before + 1)
    expect(refusals.latest?.message).toMatch(/^a packet of 100000\d\d bytes; at most 262144/)
    // 20 such at once, each of which would cost 10 MB if it were kept
    const many = await Promise.all(Array.from({ length: 20 }, dial))
    for (const one of many) {
      one.resume()
      one.write(Buffer.concat([mqttPacket.generate(connect), publish(Buffer.alloc(10_000_000), 6)]))
    }
    await Promise.all(many.map(closed))
    // the senders live in this process too: their 200 MB are in the figure, the broker's copy must not be
    expect(process.memoryUsage.rss() - memoryBefore).toBeLessThan(400_000_000)
    await stillWorks()
  })

  it('does not wait for the topic of a packet that is too large', async () => {
    const socket = await dial()
    socket.resume()
    socket.write(mqttPacket.generate(connect))
    // PUBLISH, 200 MB announced, and then silence
    socket.write(Buffer.from([0x32, 0x80, 0x84, 0xaf, 0x5f, 0x00]))
    await closed(socket)
  })

  it('turns down a greeting that is too large', async () => {
    const socket = await dial()
    socket.resume()
    socket.write(mqttPacket.generate({ ...connect, username: 'x'.repeat(20_000) } as Packet))
    await closed(socket)
    await stillWorks()
  })

  it('takes no more connections than it may, from one address and in all', async () => {
    const small = await startHubUnderTest({}, { maxConnections: 5, maxConnectionsPerAddress: 3 })
    try {
      const sockets = Array.from({ length: 6 }, () => createConnection(small.broker.port, '127.0.0.1'))
      for (const socket of sockets) socket.on('error', () => {}).resume()
      await until('three are turned away', () => sockets.filter((s) => s.closed).length === 3)
      for (const socket of sockets) socket.destroy()
      // an answer (CONNACK, 4 bytes) says that there is room again
      await until('there is room again', async () => {
        const socket = createConnection(small.broker.port, '127.0.0.1')
        socket.on('error', () => {})
        socket.write(mqttPacket.generate(connect))
        const answered = await Promise.race([once(socket, 'data'), once(socket, 'close')])
        socket.destroy()
        return Buffer.isBuffer(answered[0])
      })
    } finally {
      await small.dispose()
    }
  })
})
