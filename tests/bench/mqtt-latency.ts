/**
 * Nodes that publish at an even pace, from a process of its own: how long until the PUBACK. Arguments: port,
 * connections, packs a connection, ms between the packs of one connection. Each pack's one reading has the time of
 * its sending as value, ms since 1970 with fractions. Prints a JSON array of milliseconds.
 */
import { setTimeout as pause } from 'node:timers/promises'
import mqtt from 'mqtt'

const [port, connections, packs, everyMs] = process.argv.slice(2).map(Number) as [
  number,
  number,
  number,
  number,
]
const START_S = Date.UTC(2027, 4, 1) / 1000
const tookMs: number[] = []

async function runNode(i: number): Promise<void> {
  const client = await mqtt.connectAsync(`mqtt://127.0.0.1:${port}`, {
    clientId: `pace-${i}`,
    reconnectPeriod: 0,
  })
  await pause((i / connections) * everyMs)
  const published: Promise<void>[] = []
  for (let n = 0; n < packs; n++) {
    const sentAt = performance.timeOrigin + performance.now()
    const pack = JSON.stringify([{ n: 'sent-at', t: START_S + n, v: sentAt }])
    published.push(
      client.publishAsync(`gardens/home/nodes/pace-${i}/readings`, pack, { qos: 1 }).then(() => {
        tookMs.push(performance.timeOrigin + performance.now() - sentAt)
      }),
    )
    await pause(everyMs)
  }
  await Promise.all(published)
  await client.endAsync()
}

await Promise.all(Array.from({ length: connections }, (_, i) => runNode(i)))
process.stdout.write(JSON.stringify(tookMs))
