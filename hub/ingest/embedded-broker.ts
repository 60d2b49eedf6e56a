/**
 * The MQTT 3.1.1 broker inside the hub: aedes behind a fence. A PUBACK leaves only when the readings are on disk
 * (or the pack is bad for good). It is for the nodes of a garden, not a broker for everything: only topics of the
 * wire contract pass, sessions and retained messages live in memory.
 */
import { createServer, type Socket } from 'node:net'
import { createServer as createTlsServer } from 'node:tls'
import { Aedes, type AedesPublishPacket, type Client, type Subscription } from 'aedes'
import type { NodeBroker } from './broker-port.js'
import type { Ingest, Log } from './ingest.js'
import { FencedSocket } from './packet-fence.js'

/** What a client says of itself when it connects. */
export interface Login {
  readonly clientId: string
  readonly username: string | null
  readonly password: Uint8Array | null
  readonly address: string
}

/** What a client may do. */
export interface Rights {
  mayPublish(topic: string): boolean
  maySubscribe(filter: string): boolean
  /** asked for each message; a filter may cover more than its owner may hear */
  mayHear(topic: string): boolean
  /** takes the place of the id that the client gave itself, so that nobody gets at another's session by its name */
  readonly clientId?: string
  /** Has what let it in been taken back meanwhile? */
  isRevoked?(): boolean
}

export interface EmbeddedBrokerOptions {
  readonly host: string
  /** 0: any free one */
  readonly port: number
  readonly ingest: Ingest
  readonly log: Log
  /** null: turned away. Without it every client may do everything that the wire contract has. */
  authenticate?(login: Login): Promise<Rights | null>
  /** PEM; speaks MQTT over TLS, and nothing else */
  readonly tls?: { readonly cert: Buffer; readonly key: Buffer }
  readonly maxPacketBytes?: number
  readonly maxConnections?: number
  readonly maxConnectionsPerAddress?: number
  readonly connectTimeoutMs?: number
}

export interface EmbeddedBroker extends NodeBroker {
  readonly port: number
  /** Ends the connections of those whose rights have been revoked. */
  dropRevoked(): void
}

export const DEFAULT_MAX_PACKET_BYTES = 256 * 1024
/** sockets beyond the most connections, which are turned away by us and with a word in the log */
const HANDSHAKES = 50
const MOST_CONNECT_BYTES = 16 * 1024
/** A client that does not read stalls deliveries to others until it is cut off (aedes waits for it). */
const DRAIN_TIMEOUT_MS = 15_000
/** Nobody can subscribe here: what is refused is acknowledged but goes nowhere. */
const NOWHERE = '$SYS/refused'

/** What strangers can cause again and again is logged once a minute for each kind. */
const WARN_EVERY_MS = 60_000

function sparing(log: Log): (about: object, message: string) => void {
  const lastMs = new Map<string, number>()
  return (about, message) => {
    const nowMs = performance.now()
    if (nowMs - (lastMs.get(message) ?? Number.NEGATIVE_INFINITY) < WARN_EVERY_MS) return
    lastMs.set(message, nowMs)
    log.warn(about, message)
  }
}

const EVERYTHING: Rights = { mayPublish: () => true, maySubscribe: () => true, mayHear: () => true }

/**
 * @throws the socket's error (EADDRINUSE, EACCES …) when it cannot listen
 */
export async function startEmbeddedBroker(options: EmbeddedBrokerOptions): Promise<EmbeddedBroker> {
  const { ingest, log, maxPacketBytes = DEFAULT_MAX_PACKET_BYTES, connectTimeoutMs = 10_000 } = options
  const { maxConnections = 1_000, maxConnectionsPerAddress = 200 } = options
  const rights = new WeakMap<Client, Rights>()
  const addresses = new WeakMap<object, string>()
  /** MQTT 3.1.1 §4.6: acknowledgements go out in the order of what they acknowledge */
  const lastAnswer = new WeakMap<Client, Promise<void>>()

  /** A throw inside a hook would end the process; a broker has to outlive every packet. */
  const guarded = (what: string, run: () => void, onError: (error: Error) => void): void => {
    try {
      run()
    } catch (error) {
      log.error({ err: error }, `broker: ${what} failed`)
      onError(error instanceof Error ? error : new Error(String(error)))
    }
  }

  async function login(client: Client, username: string | undefined, password: Buffer | undefined) {
    if (!options.authenticate) return EVERYTHING
    return options.authenticate({
      clientId: client.id,
      username: username ?? null,
      password: password ?? null,
      address: addresses.get(client.conn) ?? '',
    })
  }

  /** Resolves when the publish may be acknowledged; rejects when it must not be. */
  async function decide(client: Client | null, packet: AedesPublishPacket): Promise<void> {
    const { topic } = packet
    const payload = typeof packet.payload === 'string' ? Buffer.from(packet.payload) : packet.payload
    let outcome: 'taken' | 'refused'
    if (client && !(rights.get(client)?.mayPublish(topic) ?? false)) {
      ingest.refuseUnread(topic, 'topic', 'this node may not publish here')
      outcome = 'refused'
    } else {
      outcome = await ingest.accept(topic, payload, { messageId: packet.messageId, dup: packet.dup })
    }
    // an error here would cut the connection without an acknowledgement, and the node would send it for ever
    if (outcome === 'refused') {
      packet.topic = NOWHERE
      packet.payload = Buffer.alloc(0)
      packet.retain = false
    } else if (ingest.topics.parse(topic)?.kind === 'readings') {
      // a retained reading would look new to whoever subscribes later
      packet.retain = false
    }
  }

  const warnSometimes = sparing(log)
  const broker = await Aedes.createBroker({
    connectTimeout: connectTimeoutMs,
    drainTimeout: DRAIN_TIMEOUT_MS,

    authenticate(client, username, password, done) {
      login(client, username, password)
        .then((granted) => {
          if (granted) {
            rights.set(client, granted)
            // nothing has been kept under the id that it came with: aedes asks for sessions only after this
            if (granted.clientId !== undefined) client.id = granted.clientId
          } else {
            warnSometimes({ address: addresses.get(client.conn) }, 'broker: wrong user name or password')
          }
          done(null, granted !== null)
        })
        .catch((error: unknown) => {
          log.error({ err: error, client: client.id }, 'broker: a login could not be checked')
          done(null, false)
        })
    },

    authorizePublish(client, packet, done) {
      const decided = decide(client, packet as AedesPublishPacket).then(
        () => null,
        (error: unknown) => (error instanceof Error ? error : new Error(String(error))),
      )
      const before = (client && lastAnswer.get(client)) ?? Promise.resolve()
      const answered = before
        .then(() => decided)
        .then((failure) => {
          // why is said by ingest, once; here it would be said for every packet
          if (failure) log.debug({ err: failure, client: client?.id }, 'broker: publish not acknowledged')
          guarded(
            'acknowledging',
            () => done(failure),
            () => client?.close(),
          )
        })
      if (client) lastAnswer.set(client, answered)
    },

    authorizeSubscribe(client, subscription, done) {
      guarded(
        'a subscription',
        () => done(null, allowed(client, subscription)),
        (error) => done(error),
      )
    },

    // aedes queues for a persistent session also what a subscription that was turned down would hear
    authorizeForward(client, packet) {
      return packet.topic.startsWith('$') || !(rights.get(client)?.mayHear(packet.topic) ?? false)
        ? null
        : packet
    },
  })

  /** null: answered with "failure" (MQTT 3.1.1 §3.9.3) */
  function allowed(client: Client, subscription: Subscription): Subscription | null {
    const { topic } = subscription
    if (topic.startsWith('$')) return null
    if (!(rights.get(client)?.maySubscribe(topic) ?? false)) return null
    // messages for a persistent session that stays away would pile up in memory; readings are many, and in the
    // store anyway
    if (!client.clean && subscription.qos > 0 && ingest.topics.mayHearReadings(topic)) return null
    return subscription
  }

  const ready = new Set<Client>()
  const dropIfRevoked = (client: Client): void => {
    if (!(rights.get(client)?.isRevoked?.() ?? false)) return
    log.info({ client: client.id }, 'broker: credential revoked, connection closed')
    client.close()
  }
  // revoked between being let in and being counted among the clients
  broker.on('clientReady', (client) => {
    ready.add(client)
    dropIfRevoked(client)
  })
  broker.on('clientDisconnect', (client) => ready.delete(client))
  broker.on('clientError', (client, error) =>
    log.debug({ client: client.id, reason: error.message }, 'broker: client cut off'),
  )
  broker.on('connectionError', (_client, error) =>
    log.debug({ reason: error.message }, 'broker: connection cut off'),
  )
  // aedes tells of its own failures by an event that would end the process without a listener
  ;(broker as NodeJS.EventEmitter).on('error', (error: Error) => log.error({ err: error }, 'broker: failed'))

  const perAddress = new Map<string, number>()
  const sockets = new Set<Socket>()

  function welcome(socket: Socket): void {
    const address = socket.remoteAddress ?? ''
    const already = perAddress.get(address) ?? 0
    if (sockets.size >= maxConnections || already >= maxConnectionsPerAddress) {
      warnSometimes({ address, connections: sockets.size }, 'broker: too many connections, turned away')
      socket.destroy()
      return
    }
    sockets.add(socket)
    perAddress.set(address, already + 1)
    socket.on('close', () => {
      sockets.delete(socket)
      const left = perAddress.get(address)! - 1
      if (left > 0) perAddress.set(address, left)
      else perAddress.delete(address)
    })
    // small packets, each waited for: sending them at once matters more than filling a frame
    socket.setNoDelay(true)
    socket.setKeepAlive(true, 60_000)
    const fenced = new FencedSocket(
      socket,
      { maxPacketBytes, maxFirstPacketBytes: Math.min(MOST_CONNECT_BYTES, maxPacketBytes) },
      ({ bytes, topic }) => {
        warnSometimes({ address, bytes, topic }, 'broker: packet too large, connection closed')
        ingest.refuseUnread(
          topic ?? '',
          'too-large',
          `a packet of ${bytes} bytes; at most ${maxPacketBytes} are taken: send several smaller packs`,
        )
      },
    )
    addresses.set(fenced, address)
    broker.handle(fenced)
  }

  const onSocket = (socket: Socket): void =>
    guarded(
      'a new connection',
      () => welcome(socket),
      () => socket.destroy(),
    )
  const { tls } = options
  const server = tls
    ? createTlsServer({ ...tls, minVersion: 'TLSv1.2', handshakeTimeout: connectTimeoutMs }, onSocket)
    : createServer(onSocket)
  // those still shaking hands are not counted by `welcome`
  server.maxConnections = maxConnections + HANDSHAKES
  server.on('tlsClientError', (error: Error) => log.debug({ reason: error.message }, 'broker: no TLS'))
  try {
    await new Promise<void>((resolve, reject) => {
      server.once('error', reject)
      server.listen(options.port, options.host, () => {
        server.off('error', reject)
        resolve()
      })
    })
  } catch (error) {
    // its timers would keep the process alive
    await new Promise<void>((resolve) => broker.close(() => resolve()))
    throw error
  }
  server.on('error', (error) => log.error({ err: error }, 'broker: listening failed'))
  const address = server.address()
  const port = typeof address === 'object' && address !== null ? address.port : options.port

  let closing: Promise<void> | null = null
  async function close(): Promise<void> {
    const stopped = new Promise<void>((resolve) => server.close(() => resolve()))
    await new Promise<void>((resolve) => broker.close(() => resolve()))
    for (const socket of sockets) socket.destroy()
    await stopped
  }

  return {
    port,
    publish(topic, payload, { retain = false, qos = 0 } = {}) {
      return new Promise((resolve, reject) => {
        const packet = {
          cmd: 'publish' as const,
          topic,
          payload: Buffer.from(payload),
          retain,
          qos,
          dup: false,
        }
        broker.publish(packet, (error) => (error ? reject(error) : resolve()))
      })
    },
    connections: () => broker.connectedClients,
    isListening: () => server.listening,
    dropRevoked() {
      for (const client of ready) dropIfRevoked(client)
    },
    close: () => {
      closing ??= close()
      return closing
    },
  }
}
