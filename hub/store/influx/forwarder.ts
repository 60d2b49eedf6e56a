/**
 * Sends what waits in the spool to InfluxDB, in batches, for as long as it takes: with back-off and jitter while the
 * database is away. The first value of a key stays although InfluxDB would overwrite it: a reading that is not newer
 * than all of its series there is looked up before it is sent. Sending the same batch again changes nothing.
 */

import { FLAG } from '../../../shared/quality-flags.js'
import { type InfluxDatabase, type RowToSend, spansOf } from './influx-database.js'
import { InfluxError } from './influx-error.js'
import type { Spool, WaitingRow } from './spool.js'
import { STATE } from './spool-schema.js'
import type { WaitingCount } from './waiting-count.js'

export interface ForwardingState {
  /** null: not known yet */
  readonly isUp: boolean | null
  /** why it is not up, in words; null when it is */
  readonly trouble: string | null
  /** readings not yet in the database */
  readonly waiting: number
  /** readings that the database will never take; they stay on the hub's disk and are read from there */
  readonly refused: number
  readonly forwarded: number
}

export interface ForwarderOptions {
  readonly spool: Spool
  readonly database: InfluxDatabase
  readonly waiting: WaitingCount
  /** readings a request */
  readonly batch?: number
  /** true: the spool keeps nothing that the database has */
  readonly keepsNothing: boolean
}

export interface Forwarder {
  /** Something new waits. */
  nudge(): void
  state(): ForwardingState
  /** Resolves when nothing waits any more. @throws InfluxError  while the database is away, or when it goes */
  flush(): Promise<void>
  /** Runs between two batches, while nothing is sent. */
  exclusively<T>(work: () => Promise<T>): Promise<T>
  /** Lets a batch under way end. */
  close(): Promise<void>
}

const BATCH = 5_000
/** A moment for more to come, so that live readings do not cost a request each. */
const GATHER_MS = 100
const FIRST_PAUSE_MS = 250
const ASK_EVERY_MS = 3_000
const LONGEST_PAUSE_MS = 15_000

export function createForwarder(options: ForwarderOptions): Forwarder {
  const { spool, database, waiting, batch = BATCH } = options
  let closed = false
  let isUp: boolean | null = null
  let trouble: Error | null = null
  let forwarded = 0
  let refused = spool.refusedCount()
  let pauseMs = 0
  let heardAtMs = Number.NEGATIVE_INFINITY
  let wake: (() => void) | null = null
  let flushers: { resolve(): void; reject(error: unknown): void }[] = []
  let turn: Promise<unknown> = Promise.resolve()

  function exclusively<T>(work: () => Promise<T>): Promise<T> {
    const mine = turn.then(work)
    turn = mine.catch(() => {})
    return mine
  }

  const sleep = (ms: number): Promise<void> =>
    new Promise((resolve) => {
      if (closed) return resolve()
      const timer = setTimeout(done, ms)
      function done(): void {
        clearTimeout(timer)
        wake = null
        resolve()
      }
      wake = done
    })

  /** Learns what the database had before this spool was made. */
  async function join(): Promise<void> {
    await database.make().catch((error: unknown) => {
      // a user who may not make databases may still write into one that is there
      if (!(error instanceof InfluxError && error.trouble === 'denied')) throw error
    })
    if (spool.isJoined()) return
    const remote = await database.listSeries()
    const newest = []
    for (const series of remote) newest.push(await database.newest(series, FLAG.clock))
    spool.join(remote, newest, options.keepsNothing)
  }

  /** Of readings that may be in the database already, those that are. */
  async function alreadyThere(rows: readonly WaitingRow[]): Promise<Set<WaitingRow>> {
    const there = new Set<WaitingRow>()
    const bySeries = new Map<number, WaitingRow[]>()
    for (const row of rows) bySeries.set(row.seriesId, [...(bySeries.get(row.seriesId) ?? []), row])
    for (const [seriesId, late] of bySeries) {
      const times = new Set(
        await database.times(spool.byId(seriesId), spansOf(late.map((row) => row.timeMs))),
      )
      for (const row of late) if (times.has(row.timeMs)) there.add(row)
    }
    return there
  }

  async function send(rows: readonly WaitingRow[]): Promise<void> {
    const names = new Map([...new Set(rows.map((row) => row.seriesId))].map((id) => [id, spool.byId(id)]))
    const points = rows.map((row): RowToSend => {
      const { garden, node, quantity } = names.get(row.seriesId)!
      return {
        garden,
        node,
        quantity,
        timeMs: row.timeMs,
        value: row.value,
        flags: row.flags,
        delayMs: row.delayMs,
      }
    })
    try {
      await database.write(points)
    } catch (error) {
      if (!(error instanceof InfluxError && error.trouble === 'refused')) throw error
      // one bad reading must not hold up the others: halve until it stands alone
      if (rows.length === 1) {
        spool.refused(rows)
        waiting.add(-1)
        refused++
        return
      }
      const middle = rows.length >> 1
      await send(rows.slice(0, middle))
      await send(rows.slice(middle))
      return
    }
    spool.arrived(rows)
    waiting.add(-rows.length)
    forwarded += rows.length
  }

  /** @returns how many readings waited, at most a batch */
  async function forwardSome(): Promise<number> {
    const rows = spool.take(batch)
    if (rows.length === 0) return 0
    const newestThere = new Map<number, number | null>()
    const mayBeThere = rows.filter(({ seriesId, timeMs, state }) => {
      if (!newestThere.has(seriesId)) newestThere.set(seriesId, spool.byId(seriesId).remoteLastMs)
      const lastMs = newestThere.get(seriesId) ?? null
      return state === STATE.waiting && lastMs !== null && timeMs <= lastMs
    })
    const there = await alreadyThere(mayBeThere)
    const repeated = mayBeThere.filter((row) => there.has(row))
    spool.checked(
      repeated,
      mayBeThere.filter((row) => !there.has(row)),
    )
    waiting.add(-repeated.length)
    const fresh = rows.filter((row) => !there.has(row))
    if (fresh.length > 0) await send(fresh)
    return rows.length
  }

  function settleFlushers(error?: unknown): void {
    const settled = flushers
    flushers = []
    for (const flusher of settled) error === undefined ? flusher.resolve() : flusher.reject(error)
  }

  async function run(): Promise<void> {
    let isJoined = false
    while (!closed) {
      try {
        const taken = await exclusively(async () => {
          if (!isJoined) await join()
          isJoined = true
          return forwardSome()
        })
        if (taken === 0) await askIfWell()
        else heardAtMs = performance.now()
        isUp = true
        trouble = null
        pauseMs = 0
        if (taken === 0) {
          settleFlushers()
          await sleep(ASK_EVERY_MS)
        }
        if (taken < batch && waiting.get() < batch) await sleepOut(GATHER_MS)
      } catch (error) {
        // a bug is not an outage, but the readings wait safely either way
        isUp = false
        trouble = error instanceof Error ? error : new Error(String(error))
        if (error instanceof InfluxError && error.trouble === 'missing') isJoined = false
        settleFlushers(error)
        pauseMs = Math.min(LONGEST_PAUSE_MS, Math.max(FIRST_PAUSE_MS, 2 * pauseMs))
        await sleepOut(pauseMs * (0.5 + Math.random()))
      }
    }
  }

  /** Where nothing is to be sent, nothing else would tell that the database has gone. */
  async function askIfWell(): Promise<void> {
    if (performance.now() - heardAtMs < ASK_EVERY_MS) return
    await database.ping()
    heardAtMs = performance.now()
  }

  /** Sleeps although something may call, but not beyond the end. */
  async function sleepOut(ms: number): Promise<void> {
    const until = performance.now() + ms
    for (
      let left = ms;
      left > 0 && !closed && !(isUp && flushers.length > 0);
      left = until - performance.now()
    )
      await sleep(left)
  }

  const running = run()
  return {
    nudge: () => wake?.(),
    state: () => ({ isUp, trouble: trouble?.message ?? null, waiting: waiting.get(), refused, forwarded }),
    flush() {
      if (closed || isUp === false)
        return Promise.reject(trouble ?? new InfluxError('down', 'the store is closed'))
      return new Promise<void>((resolve, reject) => {
        flushers.push({ resolve, reject })
        wake?.()
      })
    },
    exclusively,
    async close() {
      closed = true
      wake?.()
      await running
      settleFlushers(new InfluxError('down', 'the store is closed'))
    },
  }
}
