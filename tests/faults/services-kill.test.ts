/**
 * Hub and InfluxDB are killed (SIGKILL) in turn at random moments, Mosquitto is restarted, while nodes publish at
 * QoS 1. In the end InfluxDB has everything that nodes were told is taken, once, with its first value.
 *
 * Mosquitto itself is told to stop, not killed: it keeps its queue in memory between snapshots, so what a killed one
 * had not delivered is lost by its own design.
 */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { InfluxDB } from 'influx'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { hasInfluxd, type InfluxdForTest, influxdNote, startInfluxd } from '../support/influxd.js'
import { hasMosquitto, type MosquittoForTest, mosquittoNote, startMosquitto } from '../support/mosquitto.js'
import { buildHubProcess, end, START_MS, startHub, startNode } from './kill-rig.js'

const ROUNDS = 8
const NODES = ['bed-a', 'bed-b', 'bed-c', 'bed-d']
const DATABASE = 'kill'

describe.skipIf(!hasInfluxd || !hasMosquitto)(
  `hub, InfluxDB and Mosquitto, killed in turn${influxdNote}${mosquittoNote}`,
  () => {
    let dataDir: string
    let influxd: InfluxdForTest
    let mosquitto: MosquittoForTest
    let built: Awaited<ReturnType<typeof buildHubProcess>>
    beforeAll(async () => {
      dataDir = await mkdtemp(join(tmpdir(), 'hearting-kill-'))
      ;[influxd, mosquitto, built] = await Promise.all([
        startInfluxd(),
        startMosquitto(),
        buildHubProcess('services-hub-process'),
      ])
    }, 60_000)
    afterAll(async () => {
      await Promise.all([influxd?.dispose(), mosquitto?.dispose(), built?.remove()])
      await rm(dataDir, { recursive: true, force: true })
    })

    const hubArgs = (): string[] => [
      dataDir,
      mosquitto.url,
      influxd.url,
      influxd.user,
      influxd.password,
      DATABASE,
    ]

    const client = (): InfluxDB => {
      const { hostname, port } = new URL(influxd.url)
      const { user: username, password } = influxd
      return new InfluxDB({ host: hostname, port: Number(port), username, password, database: DATABASE })
    }
    const clear = (): Promise<void> => client().dropDatabase(DATABASE)
    async function countInDatabase(): Promise<number> {
      const rows = await client().query<{ count: number }>('SELECT count(value) FROM reading')
      return rows[0]?.count ?? 0
    }
    /** second → value of each node, asked of InfluxDB itself */
    async function inDatabase(): Promise<Map<string, Map<number, number>>> {
      const found = new Map(NODES.map((node) => [node, new Map<number, number>()]))
      const rows = await client().query<{ node: string; value: number }>('SELECT node, value FROM reading', {
        precision: 'ms',
      })
      for (const { time, node, value } of rows) found.get(node)!.set((Number(time) - START_MS) / 1000, value)
      return found
    }

    it.each([
      // the broker is quicker than hub and database together: the queue grows, and every restart meets a flood
      { pace: 'faster than the hub takes it', inFlight: 25, pauseMs: 8 },
      { pace: 'at a pace that the hub keeps', inFlight: 5, pauseMs: 20 },
    ])('lose nothing that was acknowledged and double nothing, $pace', { timeout: 300_000 }, async (pace) => {
      await Promise.all([clear(), rm(dataDir, { recursive: true, force: true })])
      let hub = await startHub(built.script, ...hubArgs())
      let acknowledgements = 0
      let onCount: { at: number; resolve(): void } | null = null
      const nodes = NODES.map((node) =>
        startNode(
          node,
          mosquitto.port,
          () => {
            acknowledgements++
            if (onCount && acknowledgements >= onCount.at) onCount.resolve()
          },
          pace,
        ),
      )
      const more = (count: number): Promise<void> =>
        new Promise((resolve) => {
          onCount = { at: acknowledgements + count, resolve }
        })
      try {
        for (let round = 0; round < ROUNDS; round++) {
          await more(1 + Math.floor(Math.random() ** 2 * 1000))
          if (round % 4 === 0 || round % 4 === 2) await end(hub.child)
          if (round % 4 === 1 || round % 4 === 2) await influxd.kill()
          if (round % 4 === 3) {
            await mosquitto.stop()
            await mosquitto.start()
          }
          // nodes go on meanwhile: what they publish waits at the broker or in the spool
          await more(100)
          if (round % 4 === 2) {
            hub = await startHub(built.script, ...hubArgs())
            await more(100)
            await influxd.start()
          } else if (round % 4 === 0) hub = await startHub(built.script, ...hubArgs())
          else if (round % 4 === 1) await influxd.start()
        }
        await Promise.all(nodes.map((node) => node.stop()))
        const published = nodes.reduce((sum, node) => sum + node.published(), 0)
        const giveUpAt = performance.now() + 150_000
        for (let count = 0; count < published; ) {
          count = await countInDatabase()
          if (performance.now() > giveUpAt) break
          await new Promise((resolve) => setTimeout(resolve, 100))
        }
      } finally {
        for (const node of nodes) node.abandon()
        await end(hub.child)
      }
      const found = await inDatabase()
      for (const { node, published, acknowledged } of nodes) {
        const seconds = found.get(node)!
        const lost = [...acknowledged].filter((second) => !seconds.has(second))
        expect(lost, `acknowledged readings of ${node} that are not in the database`).toEqual([])
        expect(seconds.size).toBe(published())
        for (const [second, value] of seconds) expect(value).toBe(second / 8)
      }
      expect(acknowledgements).toBeGreaterThan(ROUNDS * 100)
    })
  },
)
