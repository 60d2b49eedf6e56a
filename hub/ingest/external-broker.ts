/**
 * A broker of its own (Mosquitto, or another that speaks MQTT 5.0 or 3.1.1) in place of the one inside the hub. The
 * hub is a client with a persistent session: what is published while the hub is away waits at the broker, and a
 * message is acknowledged when its readings are durable (ack-gate.ts), so whatever breaks, it comes again.
 *
 * Who may connect and publish where is the broker's to say (deploy/mosquitto/): nodes sign in there, not here.
 */

import { connect as connectTcp, isIP, type Socket } from 'node:net'
import { hostname } from 'node:os'
import { connect as connectTls } from 'node:tls'
import { type IConnackPacket, type IPublishPacket, MqttClient } from 'mqtt'
import { AckGate } from './ack-gate.js'
import type { NodeBroker, PublishOptions } from './broker-port.js'
import { type BrokerTrouble, explainTrouble } from './external-broker-trouble.js'
import { createRetainedOutbox } from './external-outbox.js'
import type { Ingest, Log } from './ingest.js'

export interface ExternalBrokerOptions {
  /** mqtt://host:1883 or mqtts://host:8883 */
  readonly url: string
  readonly user: string | null
  readonly password: string | null
  /** PEM texts, for mqtts: the authority that signed the broker's certificate, and the hub's own certificate */
  readonly ca?: string | null
  readonly cert?: string | null
  readonly key?: string | null
  /** one per hub: two clients with the same one push each other out for ever */
  readonly clientId?: string
  readonly mqttVersion?: '5' | '3.1.1'
  readonly ingest: Ingest
  readonly log: Log
  /** longest payload that is read; a longer one is refused */
  readonly maxPacketBytes: number
  /** first pause before connecting again; doubled up to a minute, with jitter */
  readonly firstPauseMs?: number
}

export interface ExternalBroker extends NodeBroker {
  /** why it is not listening, in words; null when it is */
  trouble(): string | null
  /** connections made so far, for /metrics: many of them tell of a broker or network in trouble */
  connects(): number
}

const LONGEST_PAUSE_MS = 60_000
/** A connection that lasts this long was a good one: the next pause is a short one again. */
const STABLE_MS = 10_000
/** So many that do not in a row have a cause: most likely another client with the same id. */
const MANY_SHORT_ONES = 4
const CONNECT_TIMEOUT_MS = 10_000
const KEEPALIVE_S = 30
/** How long the broker keeps the session of a hub that is away; MQTT 5.0 §3.1.2.11.2: this number means for ever. */
const FOR_EVER_S = 0xffffffff
/** Messages that may be under way to us unacknowledged (MQTT 5.0 §3.1.2.11.3): as many may share a commit. */
const MOST_IN_FLIGHT = 1_000
/** With this many not yet durable (at QoS 0 nothing else bounds them) no more are read from the socket. */
const MOST_UNDER_WAY = 2_000
const CLOSE_WITHIN_MS = 2_000

/** Connects, and goes on trying for as long as it takes; a broker that is away is no error here. */
export function connectExternalBroker(options: ExternalBrokerOptions): ExternalBroker {
  const { ingest, log, firstPauseMs = 500 } = options
  const { topics } = ingest
  let gate: AckGate | null = null
  let isListening = false
  let trouble: BrokerTrouble | null = null
  let connects = 0
  let attempts = 0
  /** connections in a row that broke soon after they had been made */
  let shortOnes = 0
  let isHangingUp = false
  let underWay = 0
  let waitingForRoom: (() => void)[] = []
  let stable: NodeJS.Timeout | undefined
  let closing: Promise<void> | null = null

  const client = new MqttClient(openGate, {
    clientId: options.clientId ?? `hearting-${hostname()}`,
    clean: false,
    protocolVersion: options.mqttVersion === '3.1.1' ? 4 : 5,
    ...(options.user === null ? {} : { username: options.user, password: options.password ?? '' }),
    keepalive: KEEPALIVE_S,
    // acknowledgements that wait at the gate must not count as a sign of life
    reschedulePings: false,
    connectTimeout: CONNECT_TIMEOUT_MS,
    reconnectPeriod: firstPauseMs,
    // a password can be put right while the hub runs
    reconnectOnConnackError: true,
    resubscribe: false,
    queueQoSZero: false,
    // handlers first: the broker sends what waited as soon as it has greeted
    manualConnect: true,
    properties: { sessionExpiryInterval: FOR_EVER_S, receiveMaximum: MOST_IN_FLIGHT },
  })
  const outbox = createRetainedOutbox(client)

  function openGate(): AckGate {
    // the pause after this connection, should it break
    const pauseMs = Math.min(LONGEST_PAUSE_MS, firstPauseMs * 2 ** attempts++)
    client.options.reconnectPeriod = Math.round(pauseMs * (0.5 + Math.random()))
    gate = new AckGate(openSocket(options))
    return gate
  }

  /** Says each trouble once, not at every attempt. */
  function say(found: BrokerTrouble): void {
    if (closing || trouble?.kind === found.kind) return
    trouble = found
    log.error({ url: withoutSecrets(options.url), reason: found.reason }, found.message)
  }

  client.handleMessage = (packet, done) => {
    const from = gate
    underWay++
    const durable = take(packet)
    if (packet.qos > 0 && packet.messageId !== undefined) from?.hold(packet.messageId, durable)
    durable
      .catch((error: unknown) => {
        // the store cannot take it now: hang up, so that the broker keeps it and brings it again
        log.debug({ err: error }, 'broker: a message was not acknowledged')
        isHangingUp = true
        from?.closeSoon()
      })
      .finally(() => {
        underWay--
        const next = waitingForRoom
        waitingForRoom = []
        for (const goOn of next) goOn()
      })
    if (underWay < MOST_UNDER_WAY) done()
    else waitingForRoom.push(done)
  }

  async function take({ topic, payload, retain, messageId, dup }: IPublishPacket): Promise<void> {
    const bytes = typeof payload === 'string' ? Buffer.from(payload) : payload
    if (bytes.length > options.maxPacketBytes) {
      const limit = `a payload of ${bytes.length} bytes; at most ${options.maxPacketBytes} are taken: send several smaller packs`
      ingest.refuseUnread(topic, 'too-large', limit)
    } else if (retain && topics.parse(topic)?.kind === 'readings') {
      // sent because the hub subscribed, not because it was just measured: relative times would make it new
      ingest.refuseUnread(topic, 'topic', 'a retained pack of readings: publish readings without "retain"')
    } else await ingest.accept(topic, bytes, { messageId, dup })
  }

  async function subscribe(): Promise<void> {
    // always, also where the session has it: the prefix may be another than last time
    const granted = await client.subscribeAsync({
      // not retained ones: a reading is stored once, when it is sent
      [topics.readings('+', '+')]: { qos: 1, rh: 2 },
      // these are wanted at every start: what nodes last said of themselves
      [topics.presence('+', '+')]: { qos: 1, rh: 0 },
    })
    if (granted.some(({ qos }) => qos >= 128)) throw new Error('a subscription was refused')
    // a broker that lets nobody send forecasts is no trouble: there will be none
    await client
      .subscribeAsync({ [topics.forecast('+')]: { qos: 1, rh: 2 } })
      .catch((error: unknown) => log.debug({ err: error }, 'broker: no forecasts'))
  }

  client.on('connect', (packet: IConnackPacket) => {
    connects++
    subscribe().then(
      () => {
        isListening = true
        isHangingUp = false
        stable = setTimeout(() => {
          attempts = 0
          shortOnes = 0
          trouble = null
        }, STABLE_MS)
        stable.unref()
        outbox.sendWaiting()
        // coming and going is told once, as trouble
        if (shortOnes >= MANY_SHORT_ONES) return
        trouble = null
        log.info(
          { url: withoutSecrets(options.url), resumed: packet.sessionPresent },
          packet.sessionPresent
            ? 'broker: connected, what waited is coming'
            : 'broker: connected, with a new session',
        )
      },
      (error: unknown) => {
        if (client.connected) say(explainTrouble('subscription', error))
        gate?.closeSoon()
      },
    )
  })
  client.on('close', () => {
    if (isListening && !closing && !isHangingUp) {
      shortOnes++
      say(explainTrouble(shortOnes >= MANY_SHORT_ONES ? 'again' : 'lost', null))
    }
    isListening = false
    clearTimeout(stable)
  })
  client.on('error', (error) => {
    const found = explainTrouble('connection', error)
    if (found.kind === 'version' && client.options.protocolVersion === 5) {
      log.info('broker: it does not speak MQTT 5.0, going on with 3.1.1')
      client.options.protocolVersion = 4
      return
    }
    say(found)
  })
  client.on('disconnect', ({ reasonCode }) => say(explainTrouble('disconnect', reasonCode ?? null)))

  client.connect()

  async function close(): Promise<void> {
    // else the library would connect anew after its own end
    client.options.reconnectPeriod = 0
    clearTimeout(stable)
    let timer: NodeJS.Timeout | undefined
    const late = new Promise<void>((resolve) => {
      timer = setTimeout(resolve, CLOSE_WITHIN_MS)
    })
    await Promise.race([client.connected ? client.endAsync(false) : Promise.resolve(), late])
    clearTimeout(timer)
    await client.endAsync(true)
    gate?.destroy()
    outbox.giveUp()
  }

  return {
    publish: (topic: string, payload: string, { retain = false, qos = 0 }: PublishOptions = {}) =>
      outbox.publish(topic, payload, retain, qos),
    connections: () => (isListening ? 1 : 0),
    isListening: () => isListening,
    trouble: () => (isListening ? null : (trouble?.message ?? 'the broker has not answered yet')),
    connects: () => connects,
    close: () => {
      closing ??= close()
      return closing
    },
  }
}

function openSocket({ url, ca, cert, key }: ExternalBrokerOptions): Socket {
  const { protocol, hostname: bracketed, port } = new URL(url)
  const host = bracketed.replace(/^\[(.*)\]$/, '$1')
  const secure = protocol === 'mqtts:'
  const where = { host, port: Number(port) || (secure ? 8883 : 1883) }
  const socket = secure
    ? connectTls({
        ...where,
        // an address is no server name (RFC 6066 §3)
        ...(isIP(host) ? {} : { servername: host }),
        ...(ca ? { ca } : {}),
        ...(cert ? { cert } : {}),
        ...(key ? { key } : {}),
      })
    : connectTcp(where)
  socket.setNoDelay(true)
  return socket
}

/** A user and password that somebody wrote into the address are nobody else's business. */
export function withoutSecrets(url: string): string {
  const { protocol, host } = new URL(url)
  return `${protocol}//${host}`
}
