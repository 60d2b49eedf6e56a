/**
 * A node without a clock sends times relative to now. When its publish is delivered twice (the acknowledgement
 * was lost), "now" must be that of the first delivery, or its readings would be stored twice.
 *
 * MQTT 3.1.1 §3.3.1.1 and §4.4: a redelivery carries the DUP flag and the packet identifier of the first one.
 */
import { createHash } from 'node:crypto'

export interface Delivery {
  /** packet identifier; undefined at QoS 0 */
  readonly messageId: number | undefined
  readonly dup: boolean
}

export interface Redeliveries {
  /** When this message first came in: `receivedAtMs`, or earlier if it is a redelivery. */
  firstReceivedAtMs(topic: string, delivery: Delivery, payload: Uint8Array, receivedAtMs: number): number
}

/** Messages remembered; enough for every node's few in flight. */
const MOST_REMEMBERED = 5_000

export function rememberDeliveries(): Redeliveries {
  const seen = new Map<string, { readonly digest: string; readonly receivedAtMs: number }>()
  return {
    firstReceivedAtMs(topic, { messageId, dup }, payload, receivedAtMs) {
      if (messageId === undefined) return receivedAtMs
      const key = `${messageId} ${topic}`
      const digest = createHash('sha256').update(payload).digest('base64')
      const before = seen.get(key)
      if (dup && before?.digest === digest) return before.receivedAtMs
      seen.delete(key)
      seen.set(key, { digest, receivedAtMs })
      if (seen.size > MOST_REMEMBERED) seen.delete(seen.keys().next().value!)
      return receivedAtMs
    },
  }
}
