import { once } from 'node:events'
import { createConnection, createServer, type Socket } from 'node:net'
import mqttPacket, { type Packet } from 'mqtt-packet'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { AckGate } from '../../../hub/ingest/ack-gate.js'
import { until } from '../hub-under-test.js'

const puback = (messageId: number): Buffer => mqttPacket.generate({ cmd: 'puback', messageId })
const deferred = () => {
  let resolve = (): void => {}
  let reject = (_error: Error): void => {}
  const promise = new Promise<void>((yes, no) => {
    resolve = yes
    reject = no
  })
  promise.catch(() => {})
  return { promise, resolve, reject }
}

describe('the gate for acknowledgements', () => {
  const server = createServer()
  let gate: AckGate
  let far: Socket
  let heard: Packet[]
  beforeEach(async () => {
    server.listen(0, '127.0.0.1')
    await once(server, 'listening')
    const { port } = server.address() as { port: number }
    const arrives = once(server, 'connection') as Promise<[Socket]>
    gate = new AckGate(createConnection(port, '127.0.0.1'))
    ;[far] = await arrives
    heard = []
    const parser = mqttPacket.parser()
    parser.on('packet', (packet) => heard.push(packet))
    far.on('data', (chunk: Buffer) => parser.parse(chunk))
    far.on('error', () => {})
  })
  afterEach(async () => {
    gate.destroy()
    far.destroy()
    server.close()
    await once(server, 'close')
  })
  const pings = (): number => heard.filter(({ cmd }) => cmd === 'pingreq').length
  const acknowledged = (): number[] =>
    heard.flatMap((packet) => (packet.cmd === 'puback' ? [packet.messageId ?? 0] : []))
  /** what was written before a ping has arrived when the ping has */
  const ping = async (): Promise<void> => {
    const before = pings()
    gate.write(mqttPacket.generate({ cmd: 'pingreq' }))
    await until('the ping arrives', () => pings() > before)
  }

  it('lets an acknowledgement out only when its message is durable', async () => {
    const first = deferred()
    gate.hold(1, first.promise)
    gate.write(puback(1))
    await ping()
    expect(acknowledged()).toEqual([])
    expect(gate.held()).toBe(1)
    first.resolve()
    await until('it is out', () => acknowledged().length === 1)
  })

  it('keeps the order of the messages, whichever is durable first', async () => {
    const [one, two, three] = [deferred(), deferred(), deferred()]
    for (const [i, { promise }] of [one, two, three].entries()) gate.hold(i + 1, promise)
    gate.write(Buffer.concat([puback(1), puback(2), puback(3)]))
    three.resolve()
    two.resolve()
    await ping()
    expect(acknowledged()).toEqual([])
    one.resolve()
    await until('all are out', () => acknowledged().length === 3)
    expect(acknowledged()).toEqual([1, 2, 3])
  })

  it('never acknowledges what did not become durable, nor what came after it', async () => {
    const [one, two] = [deferred(), deferred()]
    gate.hold(1, one.promise)
    gate.hold(2, two.promise)
    gate.write(Buffer.concat([puback(1), puback(2)]))
    one.reject(new Error('the disk is gone'))
    two.resolve()
    await ping()
    expect(acknowledged()).toEqual([])
  })

  it('acknowledges a message that is delivered twice before it is durable twice', async () => {
    const [first, again] = [deferred(), deferred()]
    gate.hold(1, first.promise)
    gate.hold(1, again.promise)
    gate.hold(2, Promise.resolve())
    gate.write(Buffer.concat([puback(1), puback(1), puback(2)]))
    first.resolve()
    again.resolve()
    await until('all are out', () => acknowledged().length === 3)
    expect(acknowledged()).toEqual([1, 1, 2])
  })

  it('drops an acknowledgement of a message that came by an earlier connection', async () => {
    gate.write(puback(5))
    gate.hold(6, Promise.resolve())
    gate.write(puback(6))
    await until('the next is out', () => acknowledged().length > 0)
    expect(acknowledged()).toEqual([6])
    expect(gate.held()).toBe(0)
  })

  it('understands packets that come in pieces, and passes all others on unchanged', async () => {
    const publish = mqttPacket.generate({
      cmd: 'publish',
      topic: 'a/b',
      payload: Buffer.alloc(300, 0x61),
      qos: 1,
      messageId: 7,
      dup: false,
      retain: false,
    })
    gate.hold(9, Promise.resolve())
    for (const byte of Buffer.concat([publish, puback(9), publish])) gate.write(Buffer.from([byte]))
    await until('all arrive', () => heard.length === 3)
    expect(heard.map(({ cmd }) => cmd).sort()).toEqual(['puback', 'publish', 'publish'])
    expect(acknowledged()).toEqual([9])
  })

  it('what it holds when the connection breaks is gone', async () => {
    const late = deferred()
    gate.hold(1, late.promise)
    gate.write(puback(1))
    await ping()
    gate.resume()
    far.destroy()
    await once(gate, 'close')
    late.resolve()
    await late.promise
    expect(gate.held()).toBe(0)
  })
})
