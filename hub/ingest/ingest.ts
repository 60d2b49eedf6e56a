/**
 * From a published payload to durable readings: check, commit, then acknowledge. The broker in front (embedded or
 * not) calls `accept` and acknowledges when it resolves. What belongs here: everything between broker and store.
 * May import core, shared and port files.
 */
import type { BaseLogger } from 'pino'
import { arrivalFlags } from '../core/quality/arrival-checks.js'
import type { Reading } from '../store/port.js'
import { createCommitQueue } from './commit-queue.js'
import { type DecodedPack, decodePack, excerptOf } from './pack.js'
import { type Delivery, rememberDeliveries } from './redeliveries.js'
import { createRefusalLog, type NodeRefusals } from './refusal-log.js'
import type { Presence, RefusalReason, StoredReadings } from './stored-readings.js'
import { type NodeTopic, type Topics, topicsUnder } from './topics.js'

export type Log = Pick<BaseLogger, 'debug' | 'info' | 'warn' | 'error'>

export interface IngestOptions {
  /** makes readings durable: the store's append, or what wraps it */
  append(readings: readonly Reading[], receivedAtMs: number): Promise<{ stored: number; repeated: number }>
  /** UTC ms */
  now(): number
  /** readings older than this are flagged `clock`; Infinity: any age is taken */
  readonly horizonMs: number
  /** is there such a garden? */
  acceptsGarden(garden: string): boolean
  /** told after each commit; some of the readings may have been stored before */
  onStored?(stored: StoredReadings): void
  /**
   * A forecast was published for a garden that there is. Resolves when it is durable (null) or refused (why);
   * rejects when it cannot be kept now.
   */
  onForecast?(garden: string, payload: Uint8Array, receivedAtMs: number): Promise<string | null>
  onPresence?(garden: string, node: string, presence: Presence, atMs: number): void
  readonly log: Log
  readonly topics?: Topics
  /** a commit that fails for a passing reason is tried again for this long before the sender is cut off */
  readonly keepTryingMs?: number
}

export interface NodePresence {
  readonly presence: Presence
  readonly atMs: number
}

/** What came in since the hub started, for /metrics. */
export interface IngestTotals {
  readonly packs: number
  readonly readings: number
  readonly stored: number
  readonly repeated: number
  /** records with text or data, which cannot be charted */
  readonly skippedRecords: number
  readonly refused: Readonly<Partial<Record<RefusalReason, number>>>
  readonly failedCommits: number
  /** readings on their way to the disk now */
  readonly waiting: number
}

export interface Ingest {
  readonly topics: Topics
  /**
   * Takes what was published. Resolves when it may be acknowledged: its readings are durable, or it is bad for
   * good (`refused`: counted, and acknowledged so that the node does not send it for ever).
   * Rejects when the store cannot take it now: do not acknowledge, the sender will send it again.
   */
  accept(topic: string, payload: Uint8Array, delivery?: Delivery): Promise<'taken' | 'refused'>
  /** Counts a publish that was stopped before it was read. */
  refuseUnread(topic: string, reason: RefusalReason, message: string): void
  refusals(garden: string, node: string | null): NodeRefusals
  presence(garden: string, node: string): NodePresence | null
  /** nodes that said they are there, sent readings, or had a pack refused, since the hub started */
  heardNodes(garden: string): string[]
  totals(): IngestTotals
  /** Takes nothing more; resolves when all that was taken is durable or has failed. */
  close(): Promise<void>
}

const PRESENCES: readonly string[] = ['awake', 'asleep', 'gone'] satisfies Presence[]
const isPresence = (text: string): text is Presence => PRESENCES.includes(text)
/** Node names that anyone could make up are not remembered without end. */
const MOST_HEARD_NODES = 10_000

export function createIngest(options: IngestOptions): Ingest {
  const { log, now, topics = topicsUnder() } = options
  const refusalLog = createRefusalLog()
  const deliveries = rememberDeliveries()
  /** garden → node → what it last said */
  const heard = new Map<string, Map<string, NodePresence | null>>()
  const totals = { packs: 0, readings: 0, stored: 0, repeated: 0, skippedRecords: 0, failedCommits: 0 }
  let closed = false
  let isFailing = false

  const queue = createCommitQueue({
    commit: options.append,
    onCommitted(readings, receivedAtMs, stored) {
      if (isFailing) log.info('readings are stored again')
      isFailing = false
      totals.readings += readings.length
      totals.stored += stored
      totals.repeated += readings.length - stored
      tell(() => options.onStored?.({ readings, receivedAtMs }))
    },
    onFailure(error, willRetry) {
      totals.failedCommits++
      // said once, not at every attempt
      if (!isFailing) log.error({ err: error, willRetry }, 'readings cannot be stored')
      isFailing = true
    },
    ...(options.keepTryingMs === undefined ? {} : { keepTryingMs: options.keepTryingMs }),
  })

  /** A listener's fault is its own: what is durable stays acknowledged. */
  function tell(listener: () => void): void {
    try {
      listener()
    } catch (error) {
      log.error({ err: error }, 'a listener of ingest failed')
    }
  }

  function hear(garden: string, node: string, presence: NodePresence | null): void {
    let nodes = heard.get(garden)
    if (!nodes) {
      nodes = new Map()
      heard.set(garden, nodes)
    }
    if (presence !== null) nodes.set(node, presence)
    else if (!nodes.has(node) && nodes.size < MOST_HEARD_NODES) nodes.set(node, null)
  }

  function refuse(topic: string, reason: RefusalReason, message: string, excerpt: string): 'refused' {
    const { garden, node } = topics.blame(topic)
    // a garden that does not exist gets no list of its own
    const known = garden !== '' && options.acceptsGarden(garden)
    refusalLog.add({
      garden: known ? garden : '',
      node: known ? node : null,
      reason,
      message,
      atMs: now(),
      excerpt,
    })
    log.debug({ topic, reason, message }, 'pack refused')
    return 'refused'
  }

  function takePresence(
    { garden, node }: NodeTopic,
    topic: string,
    payload: Uint8Array,
  ): 'taken' | 'refused' {
    // an empty retained message only clears the retained one
    if (payload.length === 0) return 'taken'
    const text = payload.length > 16 ? '' : Buffer.from(payload).toString('utf8')
    if (!isPresence(text))
      return refuse(topic, 'presence', 'presence is one of awake, asleep, gone', excerptOf(payload))
    const atMs = now()
    hear(garden, node, { presence: text, atMs })
    tell(() => options.onPresence?.(garden, node, text, atMs))
    return 'taken'
  }

  function decode(
    topic: string,
    payload: Uint8Array,
    delivery: Delivery | undefined,
    receivedAtMs: number,
  ): DecodedPack {
    const pack = decodePack(payload, receivedAtMs)
    if (!pack.ok || !pack.hasRelativeTimes || !delivery) return pack
    const firstMs = deliveries.firstReceivedAtMs(topic, delivery, payload, receivedAtMs)
    return firstMs === receivedAtMs ? pack : decodePack(payload, firstMs)
  }

  return {
    topics,
    async accept(topic, payload, delivery) {
      if (closed) throw new Error('ingest is closed')
      const forecastOf = topics.parseForecast(topic)
      if (forecastOf !== null && options.onForecast && options.acceptsGarden(forecastOf)) {
        const why = await options.onForecast(forecastOf, payload, now())
        return why === null ? 'taken' : refuse(topic, 'forecast', why, excerptOf(payload))
      }
      const parsed = topics.parse(topic)
      if (!parsed)
        return refuse(
          topic,
          'topic',
          `nodes publish to ${topics.readings('{garden}', '{node}')} and …/presence; ids are small letters, digits and hyphens`,
          topic.replace(/[^\x20-\x7e]/g, '·').slice(0, 120),
        )
      const { garden, node } = parsed
      if (!options.acceptsGarden(garden))
        return refuse(topic, 'topic', `this hub has no garden "${garden}"`, topic.slice(0, 120))
      if (parsed.kind === 'presence') return takePresence(parsed, topic, payload)

      // back-pressure: a pack that cannot be stored soon is not even decoded
      for (let room = queue.room(); room !== null; room = queue.room()) await room

      const receivedAtMs = now()
      const pack = decode(topic, payload, delivery, receivedAtMs)
      if (!pack.ok) return refuse(topic, pack.reason, pack.message, pack.excerpt)
      totals.packs++
      totals.skippedRecords += pack.skipped
      hear(garden, node, null)
      await queue.add(
        pack.readings.map(({ quantity, timeMs, value }) => ({
          garden,
          node,
          quantity,
          timeMs,
          value,
          flags: arrivalFlags(quantity, value, timeMs, receivedAtMs, options.horizonMs),
        })),
        receivedAtMs,
      )
      return 'taken'
    },
    refuseUnread: (topic, reason, message) => {
      refuse(topic, reason, message, topic.replace(/[^\x20-\x7e]/g, '·').slice(0, 120))
    },
    refusals: (garden, node) => refusalLog.of(garden, node),
    presence: (garden, node) => heard.get(garden)?.get(node) ?? null,
    heardNodes: (garden) => [...new Set([...(heard.get(garden)?.keys() ?? []), ...refusalLog.nodes(garden)])],
    totals: () => ({ ...totals, refused: refusalLog.totals(), waiting: queue.waiting() }),
    async close() {
      closed = true
      await queue.drain()
    },
  }
}
