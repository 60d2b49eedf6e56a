/**
 * A load of QoS 1 publishes from a process of its own, so that sender and broker do not share an event loop.
 * Arguments: port, connections, packs a connection, packs in flight a connection.
 * Every pack holds three readings of its own. Prints the milliseconds from the first byte to the last PUBACK.
 */
import { once } from 'node:events'
import { createConnection } from 'node:net'
import mqttPacket, { type Packet } from 'mqtt-packet'

const [port, connections, packs, inFlight] = process.argv.slice(2).map(Number) as [
  number,
  number,
  number,
  number,
]
const START_S = Date.UTC(2027, 4, 1) / 1000

async function openNode(node: string) {
  const socket = createConnection(port, '127.0.0.1')
  socket.setNoDelay(true)
  const hello: Packet = {
    cmd: 'connect',
    protocolId: 'MQTT',
    protocolVersion: 4,
    clean: true,
    clientId: node,
    keepalive: 0,
  }
  socket.write(mqttPacket.generate(hello))
  await once(socket, 'data')

  const packets = Array.from({ length: packs }, (_, i) =>
    mqttPacket.generate({
      cmd: 'publish',
      topic: `gardens/home/nodes/${node}/readings`,
      payload: JSON.stringify([
        { bt: START_S + i, n: 'air-temp', u: 'Cel', v: 15 + (i % 100) / 10 },
        { n: 'soil-temp', u: 'Cel', v: 14 + (i % 50) / 10 },
        { n: 'light', u: 'lx', v: 30_000 + (i % 1000) },
      ]),
      qos: 1,
      messageId: (i % 65_535) + 1,
      retain: false,
      dup: false,
    }),
  )
  return async (): Promise<void> => {
    let sent = 0
    let acknowledgedBytes = 0
    const sendMore = (): void => {
      // a PUBACK is four bytes
      const upTo = Math.min(packs, Math.floor(acknowledgedBytes / 4) + inFlight)
      if (sent >= upTo) return
      socket.write(Buffer.concat(packets.slice(sent, upTo)))
      sent = upTo
    }
    await new Promise<void>((resolve, reject) => {
      socket.on('error', reject)
      socket.on('close', () => reject(new Error('the broker hung up')))
      socket.on('data', (chunk) => {
        acknowledgedBytes += chunk.length
        if (acknowledgedBytes >= 4 * packs) resolve()
        else sendMore()
      })
      sendMore()
    })
    socket.removeAllListeners('close')
    socket.end()
  }
}

const nodes = await Promise.all(Array.from({ length: connections }, (_, i) => openNode(`bed-${i}`)))
const startedAt = performance.now()
await Promise.all(nodes.map((run) => run()))
process.stdout.write(`${performance.now() - startedAt}\n`)
