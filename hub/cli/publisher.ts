/**
 * Publishing to a hub as a node does: QoS 1, one promise a message that resolves with its acknowledgement.
 * Lost connections are made again with growing pauses; what was not acknowledged is sent again.
 */
import mqtt, { type IClientOptions, type MqttClient } from 'mqtt'

export interface PublisherTarget {
  readonly host: string
  readonly port: number
  /** unique on the broker: two connections with one id throw each other out */
  readonly clientId: string
  /** without it the hub must be one with open doors */
  readonly login?: { readonly username: string; readonly password: string }
  readonly isTls?: boolean
  /** what the broker tells others when this connection dies */
  readonly will?: { readonly topic: string; readonly payload: string }
}

export interface PublisherLimits {
  /** first connection, ms */
  readonly connectTimeoutMs: number
  /** longest outage that is waited out, ms */
  readonly giveUpAfterMs: number
  /** connections in a row that end without one acknowledgement before that counts as being turned away */
  readonly fruitlessConnections: number
}

const LIMITS: PublisherLimits = { connectTimeoutMs: 10_000, giveUpAfterMs: 120_000, fruitlessConnections: 5 }
const FIRST_PAUSE_MS = 250
const LONGEST_PAUSE_MS = 8_000

export class PublishError extends Error {
  constructor(
    readonly code: 'NO_HUB' | 'NOT_MQTT' | 'LOGIN_REFUSED' | 'CONNECTION_LOST' | 'TURNED_AWAY' | 'CLOSED',
    /** says what to do */
    message: string,
    readonly retryable: boolean,
    options?: { cause?: unknown },
  ) {
    super(message, options)
    this.name = 'PublishError'
  }
}

export interface Publisher {
  /** Resolves when the hub has acknowledged; rejects with PublishError when the connection is given up. */
  publish(topic: string, payload: string, options?: { readonly retain?: boolean }): Promise<void>
  readonly isConnected: boolean
  /** how often the connection was lost and made again */
  readonly reconnects: number
  /** Waits for what is under way, at most `deadlineMs`, then ends the connection for good. */
  close(deadlineMs?: number): Promise<void>
}

/** Connects; rejects with PublishError when nothing that speaks MQTT answers there. */
export async function connectPublisher(
  target: PublisherTarget,
  limits: Partial<PublisherLimits> = {},
): Promise<Publisher> {
  const { connectTimeoutMs, giveUpAfterMs, fruitlessConnections } = { ...LIMITS, ...limits }
  const client = mqtt.connect(clientOptions(target, connectTimeoutMs))
  await firstConnection(client, target)

  const pending = new Set<(error: PublishError) => void>()
  let end: PublishError | null = null
  let reconnects = 0
  let isUp = true
  /** connections lost or not made since the last acknowledgement; those that were made are `fruitless` */
  let failures = 0
  let fruitless = 0
  let downSinceMs: number | null = null
  let lastError: Error | null = null

  const giveUp = (error: PublishError): void => {
    end ??= error
    client.end(true)
    for (const reject of pending) reject(end)
    pending.clear()
  }
  const pause = (): void => {
    const grown = Math.min(LONGEST_PAUSE_MS, FIRST_PAUSE_MS * 2 ** failures)
    client.options.reconnectPeriod = grown * (0.75 + Math.random() / 2)
  }
  pause()
  client.on('error', (error) => {
    lastError = error
  })
  // 'connect' comes only after all that was under way has been acknowledged again, which may be never
  client.on('packetreceive', (packet) => {
    if (packet.cmd !== 'connack' || packet.returnCode !== 0) return
    reconnects++
    isUp = true
    downSinceMs = null
  })
  client.on('close', () => {
    if (end) return
    failures++
    if (isUp && pending.size > 0) fruitless++
    isUp = false
    downSinceMs ??= Date.now()
    if (fruitless >= fruitlessConnections) return giveUp(turnedAway(target, fruitless, lastError))
    if (Date.now() - downSinceMs >= giveUpAfterMs) return giveUp(lost(target, giveUpAfterMs, lastError))
    pause()
  })

  return {
    get isConnected() {
      return client.connected
    },
    get reconnects() {
      return reconnects
    },
    publish(topic, payload, { retain = false } = {}) {
      return new Promise((resolve, reject) => {
        if (end) return reject(end)
        pending.add(reject)
        client.publish(topic, payload, { qos: 1, retain }, (error) => {
          if (!pending.delete(reject)) return
          if (error) return reject(end ?? lost(target, giveUpAfterMs, error))
          failures = 0
          fruitless = 0
          pause()
          resolve()
        })
      })
    },
    async close(deadlineMs = 5_000) {
      if (end) return
      const isFlushed = await within(deadlineMs, client.endAsync())
      giveUp(new PublishError('CLOSED', 'the connection was closed', false))
      if (!isFlushed) await client.endAsync(true)
    },
  }
}

function clientOptions(target: PublisherTarget, connectTimeoutMs: number): IClientOptions {
  return {
    host: target.host,
    port: target.port,
    protocol: target.isTls === true ? 'mqtts' : 'mqtt',
    ...target.login,
    protocolVersion: 4,
    clientId: target.clientId,
    clean: true,
    manualConnect: true,
    connectTimeout: connectTimeoutMs,
    // the first connection must work at once; after it `pause` sets the time to the next attempt
    reconnectPeriod: 0,
    reconnectOnConnackError: true,
    ...(target.will && {
      will: { topic: target.will.topic, payload: Buffer.from(target.will.payload), qos: 1, retain: true },
    }),
  }
}

function firstConnection(client: MqttClient, target: PublisherTarget): Promise<void> {
  return new Promise((resolve, reject) => {
    let lastError: Error | null = null
    const onError = (error: Error): void => {
      lastError = error
    }
    const onClose = (): void => {
      client.off('connect', onConnect)
      client.end(true)
      reject(unreachable(target, lastError))
    }
    const onConnect = (): void => {
      client.off('error', onError)
      client.off('close', onClose)
      resolve()
    }
    client.on('error', onError)
    client.once('close', onClose)
    client.once('connect', onConnect)
    client.connect()
  })
}

const address = (target: PublisherTarget): string => `${target.host}:${target.port}`

function unreachable(target: PublisherTarget, cause: Error | null): PublishError {
  const code = (cause as NodeJS.ErrnoException | null)?.code
  const options = { cause }
  if (typeof code === 'number') {
    const message =
      `The hub at ${address(target)} refused the login (${cause?.message}). A script needs a token:\n` +
      '`hearting token add NAME --scope write` on the hub’s machine, then HEARTING_TOKEN=… here.'
    return new PublishError('LOGIN_REFUSED', message, false, options)
  }
  if (code === 'ENOTFOUND' || code === 'EAI_AGAIN') {
    const message = `There is no machine called "${target.host}". Give the hub’s name or address with --host.`
    return new PublishError('NO_HUB', message, false, options)
  }
  if (code !== undefined) {
    const message =
      `Nothing answers at ${address(target)} (${code}). Is the hub running? Start it with \`npm start\` or ` +
      '`npm run demo`, or name another place with --host and --port (its MQTT port, usually 1883).'
    return new PublishError('NO_HUB', message, true, options)
  }
  const message =
    `${address(target)} answers, but not as an MQTT broker${cause ? ` (${cause.message})` : ''}. ` +
    'Is it the port of the page (usually 8080)? Give the MQTT port with --port (usually 1883).'
  return new PublishError('NOT_MQTT', message, false, options)
}

function lost(target: PublisherTarget, afterMs: number, cause: Error | null): PublishError {
  const message =
    `The connection to the hub at ${address(target)} was lost and did not come back within ` +
    `${Math.round(afterMs / 1000)} s. See that the hub runs.`
  return new PublishError('CONNECTION_LOST', message, true, { cause })
}

function turnedAway(target: PublisherTarget, times: number, cause: Error | null): PublishError {
  const message =
    `The hub at ${address(target)} ended the connection ${times} times without acknowledging anything. It does so ` +
    'with packets that are too large (HEARTING_MAX_PACKET_BYTES) and while it cannot store: see its log.'
  return new PublishError('TURNED_AWAY', message, false, { cause })
}

/** Did the promise settle in time? A failure counts as settled: the caller ends the connection either way. */
async function within(ms: number, work: Promise<unknown>): Promise<boolean> {
  let timer: NodeJS.Timeout | undefined
  const late = new Promise<boolean>((resolve) => {
    timer = setTimeout(() => resolve(false), ms)
  })
  const settled = work.then(
    () => true,
    () => true,
  )
  const isInTime = await Promise.race([settled, late])
  clearTimeout(timer)
  return isInTime
}
