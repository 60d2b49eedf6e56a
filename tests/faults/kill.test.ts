/**
 * The hub is killed (SIGKILL) 20 times at random moments while nodes publish at QoS 1.
 * After each kill every acknowledged reading is in the database; in the end everything published is, once.
 */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { buildHubProcess, end, START_MS, startHub, startNode } from './kill-rig.js'

const KILLS = 20
const NODES = ['bed-a', 'bed-b', 'bed-c', 'bed-d']

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
    built = await buildHubProcess('hub-process')
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
