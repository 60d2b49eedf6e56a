/**
 * What one would write in an afternoon with the same broker and database: subscribe, parse, gather, write batches.
 * It acknowledges before it has written, checks nothing, and loses what it has gathered when it ends: a yardstick.
 */
import { FieldType, InfluxDB, type IPoint } from 'influx'
import mqtt from 'mqtt'
import { z } from 'zod'
import type { InfluxdForTest } from '../support/influxd.js'

const Pack = z.array(
  z.object({ bt: z.number().optional(), t: z.number().optional(), n: z.string(), v: z.number() }),
)
const MOST_A_BATCH = 5_000

export interface PlainSubscriber {
  written(): number
  close(): Promise<void>
}

export function clientOf(influxd: InfluxdForTest, database: string): InfluxDB {
  const { hostname, port } = new URL(influxd.url)
  return new InfluxDB({
    host: hostname,
    port: Number(port),
    username: influxd.user,
    password: influxd.password,
    database,
    schema: [{ measurement: 'reading', tags: ['node', 'quantity'], fields: { value: FieldType.FLOAT } }],
  })
}

export async function startPlainSubscriber(
  brokerUrl: string,
  influxd: InfluxdForTest,
  database: string,
  onWritten: (values: readonly number[]) => void = () => {},
): Promise<PlainSubscriber> {
  const influx = clientOf(influxd, database)
  await influx.createDatabase(database)
  const client = mqtt.connect(brokerUrl, { clientId: 'plain', clean: false })
  let gathered: IPoint[] = []
  let values: number[] = []
  let written = 0
  let writing: Promise<void> | null = null

  async function write(): Promise<void> {
    while (gathered.length > 0) {
      const batch = gathered.slice(0, MOST_A_BATCH)
      const told = values.slice(0, MOST_A_BATCH)
      gathered = gathered.slice(MOST_A_BATCH)
      values = values.slice(MOST_A_BATCH)
      await influx.writePoints(batch, { precision: 'ms' })
      written += batch.length
      onWritten(told)
    }
    writing = null
  }
  client.on('message', (topic, payload) => {
    const node = topic.split('/')[3] ?? ''
    let baseS = 0
    for (const { bt, t, n, v } of Pack.parse(JSON.parse(payload.toString()))) {
      baseS = bt ?? baseS
      gathered.push({
        measurement: 'reading',
        tags: { node, quantity: n },
        fields: { value: v },
        timestamp: (baseS + (t ?? 0)) * 1000,
      })
      values.push(v)
    }
    writing ??= write()
  })
  await client.subscribeAsync('gardens/+/nodes/+/readings', { qos: 1 })
  return {
    written: () => written,
    async close() {
      // else the broker would go on gathering for it
      await client.unsubscribeAsync('gardens/+/nodes/+/readings')
      await client.endAsync()
      await writing
    },
  }
}
