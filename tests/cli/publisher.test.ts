import { createServer as createHttpServer } from 'node:http'
import { type AddressInfo, createServer, type Server, type Socket } from 'node:net'
import { Aedes } from 'aedes'
import { afterEach, describe, expect, it } from 'vitest'
import { connectPublisher, PublishError, type Publisher } from '../../hub/cli/publisher.js'

/** A real broker on a port of its own whose server can be stopped and started again on that port. */
class Broker {
  private constructor(
    readonly aedes: Aedes,
    private server: Server,
    readonly port: number,
  ) {}
  private readonly sockets = new Set<Socket>()

  static async start(options: ConstructorParameters<typeof Aedes>[0] = {}): Promise<Broker> {
    const aedes = await Aedes.createBroker(options)
    const server = createServer()
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
    const broker = new Broker(aedes, server, (server.address() as AddressInfo).port)
    broker.attach(server)
    return broker
  }

  private attach(server: Server): void {
    server.on('connection', (socket) => {
      this.sockets.add(socket)
      socket.on('close', () => this.sockets.delete(socket))
      this.aedes.handle(socket)
    })
  }

  async down(): Promise<void> {
    for (const socket of this.sockets) socket.destroy()
    await new Promise((resolve) => this.server.close(resolve))
  }

  async up(): Promise<void> {
    this.server = createServer()
    this.attach(this.server)
    await new Promise<void>((resolve) => this.server.listen(this.port, '127.0.0.1', resolve))
  }

  async close(): Promise<void> {
    await this.down()
    await new Promise<void>((resolve) => this.aedes.close(resolve))
  }
}

const ends: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

async function startBroker(options?: ConstructorParameters<typeof Aedes>[0]): Promise<Broker> {
  const broker = await Broker.start(options)
  ends.push(() => broker.close())
  return broker
}

async function connect(port: number, limits = {}): Promise<Publisher> {
  const publisher = await connectPublisher({ host: '127.0.0.1', port, clientId: 'a-node' }, limits)
  ends.push(() => publisher.close(0))
  return publisher
}

async function freePort(): Promise<number> {
  const server = createServer()
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const { port } = server.address() as AddressInfo
  await new Promise((resolve) => server.close(resolve))
  return port
}

const failureOf = (work: Promise<unknown>): Promise<PublishError> =>
  work.then(
    () => {
      throw new Error('it should have failed')
    },
    (error: PublishError) => error,
  )

describe('a publisher', () => {
  it('resolves a publish when the broker has acknowledged it, not before', async () => {
    let letThrough = (): void => {}
    const arrived = new Promise<void>((resolve) => {
      letThrough = resolve
    })
    let release = (): void => {}
    const broker = await startBroker({
      authorizePublish: (_client, _packet, callback) => {
        release = () => callback(null)
        letThrough()
      },
    })
    const publisher = await connect(broker.port)
    let isAcknowledged = false
    const published = publisher.publish('a/topic', 'x').then(() => {
      isAcknowledged = true
    })
    await arrived
    await new Promise((resolve) => setImmediate(resolve))
    expect(isAcknowledged).toBe(false)
    release()
    await published
    expect(isAcknowledged).toBe(true)
  })

  it('says that no hub runs where nothing listens', async () => {
    const error = await failureOf(connect(await freePort()))
    expect(error).toBeInstanceOf(PublishError)
    expect(error.code).toBe('NO_HUB')
    expect(error.message).toMatch(/Is the hub running/)
  })

  it('says that a web port is not the MQTT port', async () => {
    const server = createHttpServer((_request, reply) => reply.end('page'))
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
    ends.push(() => new Promise((resolve) => server.close(resolve)))
    const error = await failureOf(connect((server.address() as AddressInfo).port))
    expect(error.code).toBe('NOT_MQTT')
    expect(error.message).toMatch(/port of the page/)
  })

  it('says so when a server that never speaks takes the connection', async () => {
    const sockets: Socket[] = []
    const server = createServer((socket) => sockets.push(socket))
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
    ends.push(async () => {
      for (const socket of sockets) socket.destroy()
      await new Promise((resolve) => server.close(resolve))
    })
    const error = await failureOf(connect((server.address() as AddressInfo).port, { connectTimeoutMs: 200 }))
    expect(error.code).toBe('NOT_MQTT')
  })

  it('sends again what an outage left unacknowledged', async () => {
    const seen: string[] = []
    let isDeaf = true
    let heard = (): void => {}
    const arrived = new Promise<void>((resolve) => {
      heard = resolve
    })
    const broker = await startBroker({
      authorizePublish: (_client, packet, callback) => {
        if (isDeaf) return heard()
        seen.push(packet.payload.toString())
        callback(null)
      },
    })
    const publisher = await connect(broker.port)
    const published = publisher.publish('a/topic', 'first')
    await arrived
    await broker.down()
    isDeaf = false
    await broker.up()
    await published
    expect(seen).toEqual(['first'])
    expect(publisher.reconnects).toBeGreaterThan(0)
  })

  it('gives up an outage that lasts too long, and says that it was lost', async () => {
    const broker = await startBroker()
    const publisher = await connect(broker.port, { giveUpAfterMs: 300 })
    await publisher.publish('a/topic', 'first')
    await broker.down()
    const error = await failureOf(publisher.publish('a/topic', 'second'))
    expect(error.code).toBe('CONNECTION_LOST')
    expect(error.retryable).toBe(true)
    await broker.up()
  })

  it('notices that every publish ends the connection, instead of trying for ever', async () => {
    const broker = await startBroker({
      authorizePublish: (_client, _packet, callback) => callback(new Error('not your topic')),
    })
    const publisher = await connect(broker.port, { fruitlessConnections: 3 })
    const error = await failureOf(publisher.publish('a/topic', 'x'))
    expect(error.code).toBe('TURNED_AWAY')
    expect(error.message).toMatch(/ended the connection 3 times/)
  })
})
