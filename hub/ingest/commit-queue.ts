/**
 * Group commit: packs that come in while one commit is on its way to the disk go together in the next one, so
 * a slow disk costs one sync for many packs, and a quick one keeps no pack waiting.
 */
import { setTimeout as wait } from 'node:timers/promises'
import { type Reading, StoreError } from '../store/port.js'

export interface CommitQueueOptions {
  /** makes readings durable */
  commit(readings: readonly Reading[], receivedAtMs: number): Promise<{ stored: number; repeated: number }>
  /** told after each commit, before the packs in it are acknowledged */
  onCommitted?(readings: readonly Reading[], receivedAtMs: number, stored: number): void
  /** told of each failed attempt */
  onFailure?(error: unknown, willRetry: boolean): void
  /** one commit holds at most this many readings, unless a single pack has more */
  readonly maxBatch?: number
  /** with this many readings waiting, `room` makes callers wait */
  readonly maxWaiting?: number
  /** a commit that fails for a passing reason (disk full) is tried again for this long */
  readonly keepTryingMs?: number
}

export interface CommitQueue {
  /** null: there is room now; else resolves when there is. Ask before decoding another pack. */
  room(): Promise<void> | null
  /**
   * Resolves when the readings are durable.
   * Rejects with what `commit` failed with: they may or may not be stored, and must not be acknowledged.
   */
  add(readings: readonly Reading[], receivedAtMs: number): Promise<void>
  /** readings not yet durable */
  waiting(): number
  /** Resolves when all that was added is durable or has failed. */
  drain(): Promise<void>
}

const FIRST_PAUSE_MS = 100
const LONGEST_PAUSE_MS = 2_000

interface Waiting {
  readonly readings: readonly Reading[]
  readonly receivedAtMs: number
  resolve(): void
  reject(error: unknown): void
}

export function createCommitQueue(options: CommitQueueOptions): CommitQueue {
  const { maxBatch = 10_000, maxWaiting = 100_000, keepTryingMs = 10_000 } = options
  let queue: Waiting[] = []
  let waiting = 0
  let running: Promise<void> | null = null
  let wanted: (() => void)[] = []

  function takeBatch(): Waiting[] {
    let n = 0
    let readings = 0
    while (n < queue.length && (n === 0 || readings + queue[n]!.readings.length <= maxBatch))
      readings += queue[n++]!.readings.length
    const batch = queue.slice(0, n)
    queue = queue.slice(n)
    return batch
  }

  async function commitWithRetry(
    readings: readonly Reading[],
    receivedAtMs: number,
  ): Promise<{ stored: number; repeated: number }> {
    const giveUpAt = performance.now() + keepTryingMs
    for (let pauseMs = FIRST_PAUSE_MS; ; pauseMs = Math.min(2 * pauseMs, LONGEST_PAUSE_MS)) {
      try {
        return await options.commit(readings, receivedAtMs)
      } catch (error) {
        const mayPass = error instanceof StoreError && error.retryable
        const willRetry = mayPass && performance.now() + pauseMs < giveUpAt
        options.onFailure?.(error, willRetry)
        if (!willRetry) throw error
        await wait(pauseMs)
      }
    }
  }

  async function run(): Promise<void> {
    // whatever else arrives in this turn of the event loop goes along
    await new Promise<void>((resolve) => setImmediate(resolve))
    while (queue.length > 0) {
      const batch = takeBatch()
      const readings = batch.length === 1 ? batch[0]!.readings : batch.flatMap((pack) => pack.readings)
      const { receivedAtMs } = batch[0]!
      try {
        const { stored } = await commitWithRetry(readings, receivedAtMs)
        options.onCommitted?.(readings, receivedAtMs, stored)
        for (const pack of batch) pack.resolve()
      } catch (error) {
        for (const pack of batch) pack.reject(error)
      }
      waiting -= readings.length
      if (waiting < maxWaiting) {
        const callers = wanted
        wanted = []
        for (const caller of callers) caller()
      }
    }
    running = null
  }

  return {
    room: () => (waiting < maxWaiting ? null : new Promise((resolve) => wanted.push(resolve))),
    add(readings, receivedAtMs) {
      if (readings.length === 0) return Promise.resolve()
      return new Promise((resolve, reject) => {
        queue.push({ readings, receivedAtMs, resolve, reject })
        waiting += readings.length
        running ??= run()
      })
    },
    waiting: () => waiting,
    drain: () => running ?? Promise.resolve(),
  }
}
