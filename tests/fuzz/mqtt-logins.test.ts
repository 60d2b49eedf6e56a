/** Connect packets of every kind in front of a closed hub: none lets anybody in, none stops it, nothing piles up. */
import { connect } from 'node:net'
import fc from 'fast-check'
import mqttPacket from 'mqtt-packet'
import { afterAll, beforeAll, expect, it } from 'vitest'
import {
  type Browser,
  type ClosedHub,
  closedHub,
  connectNode,
  letNodeIn,
  until,
} from '../doors/closed-hub.js'

let closed: ClosedHub
let owner: Browser
let wren: Awaited<ReturnType<typeof letNodeIn>>
beforeAll(async () => {
  closed = await closedHub()
  owner = await closed.owner()
  wren = await letNodeIn(closed, owner, 'wren')
})
afterAll(async () => {
  await wren.client.endAsync(true)
  await closed.close()
})

const text = fc.oneof(
  fc.constantFrom(
    'home/wren',
    'wren',
    'Bearer',
    'bearer',
    '',
    '/',
    'home/',
    'home/wren/',
    'HOME/WREN',
    '__proto__',
    '#',
  ),
  fc.string({ unit: 'grapheme', maxLength: 30 }),
)
const packet = fc.record({
  clientId: fc.oneof(text, fc.constantFrom('home/wren', 'x'.repeat(2_000))),
  clean: fc.boolean(),
  keepalive: fc.integer({ min: 0, max: 65_535 }),
  username: text,
  password: fc.oneof(
    text.map((value) => Buffer.from(value)),
    fc.uint8Array({ maxLength: 300 }).map((bytes) => Buffer.from(bytes)),
  ),
  hasWill: fc.boolean(),
})

/** The hub's answer: the return code of its CONNACK, or null when it only closed the connection. */
async function answerTo(bytes: Buffer): Promise<number | null> {
  const socket = connect(Number(new URL(closed.hub.mqttUrl).port), '127.0.0.1')
  let code: number | null = null
  socket.on('error', () => {})
  socket.on('data', (data) => {
    if (data[0] === 0x20) code = data[3] ?? null
    socket.end()
  })
  socket.write(bytes)
  await new Promise<void>((resolve) => socket.on('close', () => resolve()))
  return code
}

it('lets in only who knows the password', async () => {
  const will = {
    topic: 'gardens/home/nodes/wren/presence',
    payload: Buffer.from('gone'),
    qos: 1 as const,
    retain: true,
  }
  await wren.client.publishAsync('gardens/home/nodes/wren/presence', 'awake', { qos: 1 })
  await fc.assert(
    fc.asyncProperty(packet, async ({ hasWill, clientId, clean, ...rest }) => {
      const bytes = mqttPacket.generate({
        cmd: 'connect',
        protocolId: 'MQTT',
        protocolVersion: 4,
        clientId: clean ? clientId : clientId || 'named',
        clean,
        ...rest,
        ...(hasWill ? { will } : {}),
      })
      expect([null, 2, 4, 5]).toContain(await answerTo(bytes))
    }),
    { numRuns: 200 },
  )
  // nobody of them was there, so nobody’s last will was read out, and the node was never disturbed
  expect((await owner.ask('GET', 'gardens/home/nodes/wren')).body.presence).toBe('awake')
  expect(wren.client.connected).toBe(true)
  const again = await connectNode(closed, wren.username, wren.password)
  await again.endAsync()
})

it('is left with no connections by packets before the login', async () => {
  const early = mqttPacket.generate({
    cmd: 'publish',
    topic: 'gardens/home/nodes/wren/readings',
    payload: '[{"n":"air-temp","v":1}]',
    qos: 1,
    messageId: 1,
    dup: false,
    retain: false,
  })
  for (let i = 0; i < 20; i++) expect(await answerTo(early)).toBeNull()
  await until(async () => {
    const { body } = await owner.ask('GET', '/metrics')
    return /^hearting_mqtt_connections [01]$/m.test(String(body))
  })
  expect((await owner.ask('GET', 'gardens/home/nodes/wren')).body.latest).toEqual([])
})
