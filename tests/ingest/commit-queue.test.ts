import { describe, expect, it } from 'vitest'
import { type CommitQueueOptions, createCommitQueue } from '../../hub/ingest/commit-queue.js'
import { type Reading, StoreError } from '../../hub/store/port.js'

const pack = (n: number, from = 0): Reading[] =>
  Array.from({ length: n }, (_, i) => ({
    garden: 'home',
    node: 'a',
    quantity: 'x',
    timeMs: from + i,
    value: i,
    flags: 0,
  }))

/** A disk whose syncs end when the test says so. */
function slowDisk() {
  const syncs: { readings: readonly Reading[]; finish(): void; fail(error: Error): void }[] = []
  const commit: CommitQueueOptions['commit'] = (readings) =>
    new Promise((resolve, reject) =>
      syncs.push({ readings, finish: () => resolve({ stored: readings.length, repeated: 0 }), fail: reject }),
    )
  const next = async (n: number) => {
    while (syncs.length < n) await new Promise((resolve) => setImmediate(resolve))
    return syncs[n - 1]!
  }
  return { commit, syncs, next }
}

const full = (): StoreError => new StoreError('STORE_FULL', 'full', true)
const broken = (): StoreError => new StoreError('STORE_CORRUPT', 'broken', false)

describe('the commit queue', () => {
  it('resolves no pack before its commit is done', async () => {
    const disk = slowDisk()
    const queue = createCommitQueue({ commit: disk.commit })
    let done = false
    const added = queue.add(pack(1), 0).then(() => {
      done = true
    })
    const sync = await disk.next(1)
    for (let i = 0; i < 10; i++) await new Promise((resolve) => setImmediate(resolve))
    expect(done).toBe(false)
    sync.finish()
    await added
    expect(done).toBe(true)
  })

  it('puts what comes in during one commit together into the next', async () => {
    const disk = slowDisk()
    const queue = createCommitQueue({ commit: disk.commit })
    const first = queue.add(pack(1), 0)
    await disk.next(1)
    const rest = Promise.all([queue.add(pack(2), 0), queue.add(pack(3), 0), queue.add(pack(4), 0)])
    expect(queue.waiting()).toBe(10)
    disk.syncs[0]!.finish()
    await first
    const second = await disk.next(2)
    expect(second.readings).toHaveLength(9)
    second.finish()
    await rest
    expect(disk.syncs).toHaveLength(2)
    expect(queue.waiting()).toBe(0)
  })

  it('bounds a commit, but never splits a pack', async () => {
    const disk = slowDisk()
    const queue = createCommitQueue({ commit: disk.commit, maxBatch: 5 })
    const all = Promise.all([8, 3, 2, 1].map((n) => queue.add(pack(n), 0)))
    for (const [i, n] of [8, 5, 1].entries()) {
      const sync = await disk.next(i + 1)
      expect(sync.readings).toHaveLength(n)
      sync.finish()
    }
    await all
  })

  it('makes callers wait while it is full', async () => {
    const disk = slowDisk()
    const queue = createCommitQueue({ commit: disk.commit, maxWaiting: 5 })
    expect(queue.room()).toBeNull()
    void queue.add(pack(5), 0)
    const room = queue.room()
    expect(room).toBeInstanceOf(Promise)
    ;(await disk.next(1)).finish()
    await room
    expect(queue.room()).toBeNull()
  })

  it('tries again while the failure may pass, and then acknowledges', async () => {
    let failures = 2
    const retried: boolean[] = []
    const queue = createCommitQueue({
      commit: async (readings) => {
        if (failures-- > 0) throw full()
        return { stored: readings.length, repeated: 0 }
      },
      onFailure: (_error, willRetry) => retried.push(willRetry),
    })
    await queue.add(pack(3), 0)
    expect(retried).toEqual([true, true])
  })

  it('gives up after a while, and on a failure that will not pass, and takes the next pack all the same', async () => {
    let error: Error | null = full()
    const queue = createCommitQueue({
      commit: async (readings) => {
        if (error) throw error
        return { stored: readings.length, repeated: 0 }
      },
      keepTryingMs: 0,
    })
    await expect(queue.add(pack(1), 0)).rejects.toMatchObject({ code: 'STORE_FULL' })
    error = broken()
    await expect(queue.add(pack(1), 0)).rejects.toMatchObject({ code: 'STORE_CORRUPT' })
    error = null
    await queue.add(pack(1), 0)
    expect(queue.waiting()).toBe(0)
  })

  it('drains', async () => {
    const disk = slowDisk()
    const queue = createCommitQueue({ commit: disk.commit })
    await queue.drain()
    const added = queue.add(pack(1), 0)
    const drained = queue.drain()
    ;(await disk.next(1)).finish()
    await drained
    await added
  })
})
