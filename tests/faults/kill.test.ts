/**
 * The hub is killed (SIGKILL) 20 times at random moments while nodes publish at QoS 1.
 * After each kill every acknowledged reading is in the database; in the end everything published is, once.
 */
import { type ChildProcess, execFile, spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import Database from 'better-sqlite3'
import mqtt, { type MqttClient } from 'mqtt'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'

const KILLS = 20
const NODES = ['bed-a', 'bed-b', 'bed-c', 'bed-d']
/** publishes of one node that wait for their acknowledgement at a time */
const IN_FLIGHT = 25
const START_MS = Date.UTC(2027, 4, 6)

/**
 * Translates the hub process once, so that 20 starts do not translate it 20 times in three threads.
 * The place is inside the repository, where its imports are found.
 */
async function buildHubProcess(): Promise<{ script: string; remove(): Promise<void> }> {
  const root = join(import.meta.dirname, '../..')
  const cache = join(root, 'node_modules/.cache')
  await mkdir(cache, { recursive: true })
  const dir = await mkdtemp(join(cache, 'kill-test-'))
  await writeFile(join(dir, 'package.json'), '{"type":"module"}')
  const tsconfig = {
    extends: join(root, 'tsconfig.json'),
    compilerOptions: {
      noEmit: false,
      outDir: dir,
      rootDir: root,
      typeRoots: [join(root, 'node_modules/@types')],
    },
    include: [join(import.meta.dirname, 'hub-process.ts')],
    exclude: [],
  }
  await writeFile(join(dir, 'tsconfig.json'), JSON.stringify(tsconfig))
  await promisify(execFile)(process.execPath, [join(root, 'node_modules/typescript/bin/tsc'), '-p', dir])
  return {
    script: join(dir, 'tests/faults/hub-process.js'),
    remove: () => rm(dir, { recursive: true }),
  }
}

async function startHub(
  script: string,
  dataDir: string,
  port: number,
): Promise<{ child: ChildProcess; port: number }> {
  const child = spawn(process.execPath, [script, dataDir, String(port)], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const [line] = (await Promise.race([
    once(child.stdout!, 'data'),
    once(child, 'exit').then(() => Promise.reject(new Error('the hub did not start'))),
  ])) as [Buffer]
  return { child, port: Number(line.toString()) }
}

/** A node that publishes one reading after the other, some in flight, and notes what was acknowledged. */
function startNode(node: string, port: number, onAcknowledged: () => void) {
  const client: MqttClient = mqtt.connect(`mqtt://127.0.0.1:${port}`, {
    clientId: node,
    clean: false,
    reconnectPeriod: 20,
    connectTimeout: 5_000,
  })
  client.on('error', () => {})
  const acknowledged = new Set<number>()
  let published = 0
  let isStopped = false
  /** The client library redelivers by itself, but drops what was queued when a reconnection breaks again. */
  async function untilAcknowledged(topic: string, pack: string): Promise<void> {
    for (;;) {
      try {
        await client.publishAsync(topic, pack, { qos: 1 })
        return
      } catch {
        // not acknowledged: the node still has it and sends it again
        if (client.disconnecting) throw new Error('the test has given up')
      }
    }
  }
  async function publishOn(): Promise<void> {
    while (!isStopped) {
      const second = published++
      const pack = JSON.stringify([{ n: 'air-temp', u: 'Cel', t: START_MS / 1000 + second, v: second / 8 }])
      await untilAcknowledged(`gardens/home/nodes/${node}/readings`, pack)
      acknowledged.add(second)
      onAcknowledged()
    }
  }
  const running = Promise.all(Array.from({ length: IN_FLIGHT }, publishOn))
  return {
    node,
    acknowledged,
    published: () => published,
    /** resolves when everything published has been acknowledged */
    async stop() {
      isStopped = true
      await running
    },
    abandon() {
      isStopped = true
      running.catch(() => {})
      client.end(true)
    },
  }
}

/** Kills without warning, as the kernel does when memory runs out. */
async function end(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return
  const exited = once(child, 'exit')
  child.kill('SIGKILL')
  await exited
}

/** second → value of a node, straight from the file. */
function readingsOf(dataDir: string, node: string): Map<number, number> {
  const db = new Database(join(dataDir, 'readings.sqlite'))
  try {
    const rows = db
      .prepare<[string], { timeMs: number; value: number }>(
        `SELECT time_ms AS timeMs, value FROM reading JOIN series ON series.id = series_id WHERE node = ?`,
      )
      .all(node)
    return new Map(rows.map(({ timeMs, value }) => [(timeMs - START_MS) / 1000, value]))
  } finally {
    db.close()
  }
}

describe('a hub that is killed again and again', () => {
  let dataDir: string
  let built: Awaited<ReturnType<typeof buildHubProcess>>
  beforeAll(async () => {
    dataDir = await mkdtemp(join(tmpdir(), 'hearting-kill-'))
    built = await buildHubProcess()
  })
  afterAll(async () => {
    await built.remove()
    await rm(dataDir, { recursive: true })
  })

  it('keeps every acknowledged reading, and gets the others by redelivery, once', {
    timeout: 120_000,
  }, async () => {
    let hub = await startHub(built.script, dataDir, 0)
    let acknowledgements = 0
    let onCount: { at: number; resolve(): void } | null = null
    const nodes = NODES.map((node) =>
      startNode(node, hub.port, () => {
        acknowledgements++
        if (onCount && acknowledgements >= onCount.at) onCount.resolve()
      }),
    )
    let unacknowledgedAtKill = 0
    try {
      for (let kill = 0; kill < KILLS; kill++) {
        // a random moment, told by acknowledgements and not by a clock: some kills hit right after the start
        const more = 1 + Math.floor(Math.random() ** 2 * 1500)
        await new Promise<void>((resolve) => {
          onCount = { at: acknowledgements + more, resolve }
        })
        await end(hub.child)
        // what the nodes have been told by now is what must be there
        for (const { node, acknowledged, published } of nodes) {
          const stored = readingsOf(dataDir, node)
          const lost = [...acknowledged].filter((second) => !stored.has(second))
          expect(lost, `acknowledged readings of ${node} lost by kill ${kill + 1}`).toEqual([])
          unacknowledgedAtKill += published() - acknowledged.size
        }
        hub = await startHub(built.script, dataDir, hub.port)
      }
      await Promise.all(nodes.map((node) => node.stop()))
    } finally {
      for (const node of nodes) node.abandon()
      await end(hub.child)
    }
    // the kills really interrupted something
    expect(unacknowledgedAtKill).toBeGreaterThan(KILLS)
    for (const { node, published } of nodes) {
      const stored = readingsOf(dataDir, node)
      expect(stored.size).toBe(published())
      for (const [second, value] of stored) expect(value).toBe(second / 8)
    }
    const check = new Database(join(dataDir, 'readings.sqlite'))
    expect(check.pragma('integrity_check', { simple: true })).toBe('ok')
    const counted = check.prepare('SELECT sum(readings) FROM series').pluck().get()
    expect(counted).toBe(check.prepare('SELECT count(*) FROM reading').pluck().get())
    check.close()
  })
})
