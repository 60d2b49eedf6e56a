/**
 * A node of the demo: a real MQTT client that hands in its backlog and then publishes every few seconds, going on
 * with the same weather.
 */
import { topicsUnder } from '../../ingest/topics.js'
import { connectPublisher, type Publisher } from '../publisher.js'
import { senmlPack } from '../senml-pack.js'
import type { DemoBed } from './beds.js'
import type { BedMinute } from './garden-weather.js'
import type { Pack } from './history.js'
import { NodeSensors } from './node-sensors.js'
import type { Scenario } from './scenario.js'

const PACKS_IN_FLIGHT = 4
const BATTERY_EVERY_MS = 3_600_000

export interface Broker {
  readonly host: string
  readonly port: number
  readonly prefix: string
}

export class LiveNode {
  private readonly sensors: NodeSensors
  private batteryAtMs = Number.NEGATIVE_INFINITY

  private constructor(
    private readonly publisher: Publisher,
    private readonly topics: { readonly readings: string; readonly presence: string },
    bed: DemoBed,
    private readonly scenario: Scenario,
  ) {
    this.sensors = new NodeSensors(bed, scenario.seed, scenario.historyFromMs)
  }

  /** @throws PublishError  the hub does not take the connection */
  static async connect(broker: Broker, garden: string, bed: DemoBed, scenario: Scenario): Promise<LiveNode> {
    const { host, port, prefix } = broker
    const node = bed.node.id
    const under = topicsUnder(prefix)
    const topics = { readings: under.readings(garden, node), presence: under.presence(garden, node) }
    const will = { topic: topics.presence, payload: 'gone' }
    const publisher = await connectPublisher({ host, port, clientId: node, will })
    await publisher.publish(topics.presence, 'awake', { retain: true })
    return new LiveNode(publisher, topics, bed, scenario)
  }

  /**
   * Hands in what was measured before; resolves when the hub has stored all of it.
   *
   * @param onStored  told of each pack's readings as they are acknowledged
   */
  async handIn(packs: readonly Pack[], onStored: (readings: number) => void): Promise<void> {
    const queue = packs[Symbol.iterator]()
    const lane = async (): Promise<void> => {
      for (const pack of queue) {
        await this.publisher.publish(this.topics.readings, pack.payload)
        onStored(pack.readings)
      }
    }
    await Promise.all(Array.from({ length: PACKS_IN_FLIGHT }, lane))
  }

  /** Measures now and publishes; resolves when stored. */
  async publishNow(timeMs: number, now: BedMinute): Promise<void> {
    const readings = this.sensors.ofInstant(timeMs, now)
    if (timeMs - this.batteryAtMs >= BATTERY_EVERY_MS) {
      this.batteryAtMs = timeMs
      const minute = Math.round((timeMs - this.scenario.historyFromMs) / 60_000)
      readings.push({ quantity: 'battery', timeMs, value: this.sensors.battery(minute) })
    }
    await this.publisher.publish(this.topics.readings, senmlPack(readings))
  }

  async close(): Promise<void> {
    if (this.publisher.isConnected) {
      await this.publisher.publish(this.topics.presence, 'gone', { retain: true })
    }
    await this.publisher.close()
  }
}
