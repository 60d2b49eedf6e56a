/**
 * What the hub has to say over a broker that may be away: warnings and settings are retained, so of each topic only
 * the newest matters, and it waits here until there is a connection. The client's own queue would keep them all.
 */
import type { MqttClient } from 'mqtt'

export interface RetainedOutbox {
  publish(topic: string, payload: string, retain: boolean, qos: 0 | 1): Promise<void>
  sendWaiting(): void
  /** What still waits is not sent any more. */
  giveUp(): void
}

interface Waiting {
  readonly payload: string
  readonly qos: 0 | 1
  resolve(): void
  reject(error: Error): void
}

/** Far more than beds and kinds of warnings; a guard against growing without end. */
const MOST_TOPICS = 10_000

export function createRetainedOutbox(client: Pick<MqttClient, 'connected' | 'publishAsync'>): RetainedOutbox {
  const waiting = new Map<string, Waiting>()

  const send = async (topic: string, payload: string, retain: boolean, qos: 0 | 1): Promise<void> => {
    await client.publishAsync(topic, payload, { retain, qos })
  }

  return {
    publish(topic, payload, retain, qos) {
      if (client.connected) return send(topic, payload, retain, qos)
      if (!retain)
        return Promise.reject(new Error('the broker is away, and the message would be stale later'))
      const before = waiting.get(topic)
      if (!before && waiting.size >= MOST_TOPICS)
        return Promise.reject(new Error(`${MOST_TOPICS} topics wait for the broker already`))
      // a newer one takes its place
      before?.resolve()
      return new Promise((resolve, reject) => waiting.set(topic, { payload, qos, resolve, reject }))
    },
    sendWaiting() {
      const now = [...waiting]
      waiting.clear()
      for (const [topic, { payload, qos, resolve, reject }] of now)
        send(topic, payload, true, qos).then(resolve, reject)
    },
    giveUp() {
      for (const { reject } of waiting.values()) reject(new Error('the hub stops'))
      waiting.clear()
    },
  }
}
