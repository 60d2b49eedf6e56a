/** The spool as the thread that forwards and reads sees it: what waits, what arrived, what is kept. */
import type Database from 'better-sqlite3'
import { FLAG } from '../../../shared/quality-flags.js'
import type { LatestReading, SeriesKey, SeriesSummary } from '../port.js'
import type { StoredRows } from '../stored-rows.js'
import type { RemoteSeries, Span } from './influx-database.js'
import { ALWAYS_COMPLETE_MS, NEVER_COMPLETE_MS, STATE } from './spool-schema.js'

export interface SpoolSeries extends SeriesKey {
  readonly id: number
  /** readings that InfluxDB has, and their last; null: it has none */
  readonly remote: number
  readonly remoteFirstMs: number | null
  readonly remoteLastMs: number | null
  readonly changes: number
}

export interface WaitingRow {
  readonly seriesId: number
  readonly timeMs: number
  readonly value: number
  readonly flags: number
  readonly delayMs: number
  readonly state: number
}

/** Where the spool begins to hold everything, and how often it was tidied when that was asked. */
export interface Extent {
  readonly completeFromMs: number
  readonly tidied: number
}

export interface Spool {
  isJoined(): boolean
  /** Notes what InfluxDB had before this spool was made; newest: the last reading of each series. */
  join(remote: readonly RemoteSeries[], newest: readonly StoredRows[], keepsNothing: boolean): void
  find(series: SeriesKey): SpoolSeries | undefined
  byId(id: number): SpoolSeries
  take(most: number): WaitingRow[]
  /** Drops rows that InfluxDB had already; the others are new to it, whatever happens while they are sent. */
  checked(had: readonly WaitingRow[], fresh: readonly WaitingRow[]): void
  arrived(rows: readonly WaitingRow[]): void
  refused(rows: readonly WaitingRow[]): void
  refusedCount(): number
  extent(): Extent
  /** Rows here, of any state, together with the extent of the same moment. */
  rows(seriesId: number, span: Span): { rows: StoredRows; extent: Extent }
  /** Times of rows that InfluxDB is not known to have, ascending. */
  unsentTimes(seriesId: number, span: Span): number[]
  /** Time of the first reading and the last, wherever they are; null: none. */
  bounds(series: SeriesKey): { firstMs: number; lastMs: number } | null
  countAll(seriesId: number, span: Span): number
  listGardens(): string[]
  latest(garden: string): LatestReading[]
  listSeries(garden: string): SeriesSummary[]
  /**
   * After a removal from InfluxDB: removes here too. newest: what is the last reading there now.
   * @returns how many of the removed had not been sent
   */
  remove(
    series: SpoolSeries,
    span: Span,
    removedThere: number,
    there: { firstMs: number; lastMs: number } | null,
    newest: StoredRows,
  ): { unsent: number }
  /** Tidies away what InfluxDB has and is older than `beforeMs`, but for the newest reading of each series. */
  tidy(beforeMs: number): number
  dayFigures(seriesId: number, firstDay: number, lastDay: number): Map<number, Uint8Array>
  /** Keeps figures of whole days, unless the series changed since `changes` was read. */
  keepDayFigures(seriesId: number, changes: number, figures: ReadonlyMap<number, Uint8Array>): void
}

type Row = [timeMs: number, value: number, flags: number, delayMs: number]
const ROW = 'time_ms, value, flags, delay_ms'

export function createSpool(db: Database.Database): Spool {
  const seriesColumns = `id, garden, node, quantity, remote, remote_first_ms AS remoteFirstMs,
    remote_last_ms AS remoteLastMs, changes`
  const find = db.prepare<[string, string, string], SpoolSeries>(
    `SELECT ${seriesColumns} FROM series WHERE garden = ? AND node = ? AND quantity = ?`,
  )
  const byId = db.prepare<[number], SpoolSeries>(`SELECT ${seriesColumns} FROM series WHERE id = ?`)
  const spoolRow = db.prepare<[], Extent & { isJoined: number }>(
    'SELECT complete_from_ms AS completeFromMs, tidied, is_joined AS isJoined FROM spool',
  )
  const addSeries = db.prepare(
    'INSERT INTO series (garden, node, quantity) VALUES (?, ?, ?) ON CONFLICT DO NOTHING',
  )
  const setRemote = db.prepare(
    'UPDATE series SET remote = ?, remote_first_ms = ?, remote_last_ms = ?, changes = changes + 1 WHERE id = ?',
  )
  const keep = db.prepare(
    `INSERT INTO reading VALUES (?, ?, ?, ?, ?, ${STATE.forwarded}) ON CONFLICT DO NOTHING`,
  )
  const setJoined = db.prepare('UPDATE spool SET is_joined = 1, complete_from_ms = ?')
  const take = db.prepare<[number], WaitingRow>(
    `SELECT series_id AS seriesId, time_ms AS timeMs, value, flags, delay_ms AS delayMs, state
     FROM reading WHERE state > 0 AND state < ${STATE.refused} LIMIT ?`,
  )
  const setState = db.prepare('UPDATE reading SET state = ? WHERE series_id = ? AND time_ms = ?')
  const drop = db.prepare('DELETE FROM reading WHERE series_id = ? AND time_ms = ?')
  const addRemote = db.prepare(
    `UPDATE series SET remote = remote + ?, remote_first_ms = min(coalesce(remote_first_ms, ?), ?),
       remote_last_ms = max(coalesce(remote_last_ms, ?), ?) WHERE id = ?`,
  )
  const refusedCount = db
    .prepare<[], number>(`SELECT count(*) FROM reading WHERE state > 0 AND state = ${STATE.refused}`)
    .pluck()
  const rows = db
    .prepare<[number, number, number], Row>(
      `SELECT ${ROW} FROM reading WHERE series_id = ? AND time_ms >= ? AND time_ms < ? ORDER BY time_ms`,
    )
    .raw()
  const unsent = db
    .prepare<[number, number, number], number>(
      'SELECT time_ms FROM reading WHERE series_id = ? AND time_ms >= ? AND time_ms < ? AND state > 0 ORDER BY time_ms',
    )
    .pluck()
  const countWaiting = db
    .prepare<[number, number, number], number>(
      `SELECT count(*) FROM reading WHERE series_id = ? AND time_ms >= ? AND time_ms < ?
         AND state > 0 AND state < ${STATE.refused}`,
    )
    .pluck()
  const countAll = db
    .prepare<[number, number, number], number>(
      'SELECT count(*) FROM reading WHERE series_id = ? AND time_ms >= ? AND time_ms < ?',
    )
    .pluck()
  const ofGarden = db.prepare<
    [string],
    SeriesKey & { id: number; remote: number; firstMs: number | null; lastMs: number | null; unsent: number }
  >(
    `SELECT id, garden, node, quantity, remote, remote_first_ms AS firstMs, remote_last_ms AS lastMs,
       (SELECT count(*) FROM reading WHERE series_id = series.id AND state > 0) AS unsent
     FROM series WHERE garden = ? ORDER BY node, quantity`,
  )
  const allBounds = db.prepare<[string, string, string], { firstMs: number | null; lastMs: number | null }>(
    `SELECT
       min(coalesce(remote_first_ms, ${Number.MAX_SAFE_INTEGER}),
         coalesce((SELECT min(time_ms) FROM reading WHERE series_id = series.id), ${Number.MAX_SAFE_INTEGER})) AS firstMs,
       max(coalesce(remote_last_ms, ${Number.MIN_SAFE_INTEGER}),
         coalesce((SELECT max(time_ms) FROM reading WHERE series_id = series.id), ${Number.MIN_SAFE_INTEGER})) AS lastMs
     FROM series WHERE garden = ? AND node = ? AND quantity = ?`,
  )
  const gardens = db.prepare<[], string>('SELECT DISTINCT garden FROM series ORDER BY garden').pluck()
  const localEnds = db.prepare<[number, number], { firstMs: number | null; lastMs: number | null }>(
    `SELECT (SELECT min(time_ms) FROM reading WHERE series_id = ? AND state > 0) AS firstMs,
       (SELECT max(time_ms) FROM reading WHERE series_id = ? AND state > 0) AS lastMs`,
  )
  // a wrong clock in the future must not hide what the node says now
  const newest = db
    .prepare<[number], Row>(
      `SELECT ${ROW} FROM reading WHERE series_id = ? AND (flags & ${FLAG.clock}) = 0 ORDER BY time_ms DESC LIMIT 1`,
    )
    .raw()
  const removeRows = db.prepare('DELETE FROM reading WHERE series_id = ? AND time_ms >= ? AND time_ms < ?')
  const removedRemote = db.prepare(
    `UPDATE series SET remote = remote - ?, remote_first_ms = ?, remote_last_ms = ?, changes = changes + 1
     WHERE id = ?`,
  )
  const forgetDays = db.prepare('DELETE FROM day_figures WHERE series_id = ?')
  const raiseComplete = db.prepare(
    'UPDATE spool SET tidied = tidied + 1, complete_from_ms = max(complete_from_ms, ?)',
  )
  const allSeries = db.prepare<[], number>('SELECT id FROM series').pluck()
  const tidyAway = db.prepare(
    `DELETE FROM reading WHERE series_id = ? AND time_ms < ? AND state = ${STATE.forwarded} AND time_ms <> ?`,
  )
  const days = db.prepare<[number, number, number], { day: number; figures: Uint8Array }>(
    'SELECT day, figures FROM day_figures WHERE series_id = ? AND day >= ? AND day <= ?',
  )
  const keepDay = db.prepare('INSERT OR REPLACE INTO day_figures VALUES (?, ?, ?)')

  const extent = (): Extent => {
    const { completeFromMs, tidied } = spoolRow.get()!
    return { completeFromMs, tidied }
  }
  const keepRow = (seriesId: number, kept: StoredRows): void => {
    for (let i = 0; i < kept.timeMs.length; i++)
      keep.run(seriesId, kept.timeMs[i]!, kept.value[i]!, kept.flags[i]!, kept.delayMs[i]!)
  }

  const join = db.transaction(
    (remote: readonly RemoteSeries[], newestThere: readonly StoredRows[], keepsNothing: boolean) => {
      let lastMs = ALWAYS_COMPLETE_MS
      for (const [i, series] of remote.entries()) {
        addSeries.run(series.garden, series.node, series.quantity)
        const { id } = find.get(series.garden, series.node, series.quantity)!
        setRemote.run(series.count, series.firstMs, series.lastMs, id)
        keepRow(id, newestThere[i]!)
        lastMs = Math.max(lastMs, series.lastMs + 1)
      }
      setJoined.run(keepsNothing ? NEVER_COMPLETE_MS : lastMs)
    },
  )
  const checked = db.transaction((had: readonly WaitingRow[], fresh: readonly WaitingRow[]) => {
    for (const { seriesId, timeMs } of had) drop.run(seriesId, timeMs)
    for (const { seriesId, timeMs } of fresh) setState.run(STATE.sending, seriesId, timeMs)
  })
  const arrived = db.transaction((sent: readonly WaitingRow[]) => {
    const sums = new Map<number, { count: number; firstMs: number; lastMs: number }>()
    for (const { seriesId, timeMs } of sent) {
      setState.run(STATE.forwarded, seriesId, timeMs)
      const sum = sums.get(seriesId)
      if (!sum) sums.set(seriesId, { count: 1, firstMs: timeMs, lastMs: timeMs })
      else {
        sum.count++
        sum.firstMs = Math.min(sum.firstMs, timeMs)
        sum.lastMs = Math.max(sum.lastMs, timeMs)
      }
    }
    for (const [id, { count, firstMs, lastMs }] of sums)
      addRemote.run(count, firstMs, firstMs, lastMs, lastMs, id)
  })
  const refuse = db.transaction((some: readonly WaitingRow[]) => {
    for (const { seriesId, timeMs } of some) setState.run(STATE.refused, seriesId, timeMs)
  })
  const readRows = db.transaction((seriesId: number, span: Span) => ({
    rows: columnsOf(rows.all(seriesId, span.fromMs, span.toMs)),
    extent: extent(),
  }))
  const remove = db.transaction(
    (
      { id }: SpoolSeries,
      span: Span,
      removedThere: number,
      there: { firstMs: number; lastMs: number } | null,
      newestThere: StoredRows,
    ) => {
      const waited = countWaiting.get(id, span.fromMs, span.toMs)!
      removeRows.run(id, span.fromMs, span.toMs)
      removedRemote.run(removedThere, there?.firstMs ?? null, there?.lastMs ?? null, id)
      forgetDays.run(id)
      keepRow(id, newestThere)
      return { unsent: waited }
    },
  )
  const tidy = db.transaction((beforeMs: number) => {
    let tidied = 0
    for (const id of allSeries.all())
      tidied += tidyAway.run(id, beforeMs, newest.get(id)?.[0] ?? NEVER_COMPLETE_MS).changes
    if (tidied > 0) raiseComplete.run(beforeMs)
    return tidied
  })
  const keepDays = db.transaction(
    (seriesId: number, changes: number, figures: ReadonlyMap<number, Uint8Array>) => {
      if (byId.get(seriesId)?.changes !== changes) return
      for (const [day, blob] of figures) keepDay.run(seriesId, day, blob)
    },
  )

  return {
    isJoined: () => spoolRow.get()!.isJoined === 1,
    join: (...args) => join.immediate(...args),
    find: ({ garden, node, quantity }) => find.get(garden, node, quantity),
    byId: (id) => byId.get(id)!,
    take: (most) => take.all(most),
    checked: (had, fresh) => {
      if (had.length > 0 || fresh.length > 0) checked.immediate(had, fresh)
    },
    arrived: (sent) => arrived.immediate(sent),
    refused: (some) => refuse.immediate(some),
    refusedCount: () => refusedCount.get()!,
    extent,
    rows: readRows,
    unsentTimes: (id, span) => unsent.all(id, span.fromMs, span.toMs),
    bounds({ garden, node, quantity }) {
      const row = allBounds.get(garden, node, quantity)
      if (row?.firstMs == null || row.lastMs === null || row.firstMs > row.lastMs) return null
      return { firstMs: row.firstMs, lastMs: row.lastMs }
    },
    countAll: (id, span) => countAll.get(id, span.fromMs, span.toMs)!,
    listGardens: () => gardens.all(),
    latest(garden) {
      const found: LatestReading[] = []
      for (const { id, node, quantity } of ofGarden.all(garden)) {
        const row = newest.get(id)
        if (!row) continue
        const [timeMs, value, flags, delayMs] = row
        found.push({ garden, node, quantity, timeMs, value, flags, receivedAtMs: timeMs + delayMs })
      }
      return found
    },
    listSeries(garden) {
      const found: SeriesSummary[] = []
      for (const { id, node, quantity, remote, firstMs, lastMs, unsent: here } of ofGarden.all(garden)) {
        if (remote + here === 0) continue
        const local = here > 0 ? localEnds.get(id, id)! : { firstMs: null, lastMs: null }
        found.push({
          garden,
          node,
          quantity,
          count: remote + here,
          firstMs: Math.min(firstMs ?? Number.POSITIVE_INFINITY, local.firstMs ?? Number.POSITIVE_INFINITY),
          lastMs: Math.max(lastMs ?? Number.NEGATIVE_INFINITY, local.lastMs ?? Number.NEGATIVE_INFINITY),
        })
      }
      return found
    },
    remove: (...args) => remove.immediate(...args),
    tidy: (beforeMs) => tidy.immediate(beforeMs),
    dayFigures: (id, first, last) =>
      new Map(days.all(id, first, last).map(({ day, figures }) => [day, figures])),
    keepDayFigures: (...args) => keepDays.immediate(...args),
  }
}

function columnsOf(found: readonly Row[]): StoredRows {
  const n = found.length
  const columns: StoredRows = {
    timeMs: new Float64Array(n),
    value: new Float64Array(n),
    flags: new Uint16Array(n),
    delayMs: new Float64Array(n),
  }
  for (let i = 0; i < n; i++) {
    const row = found[i]!
    columns.timeMs[i] = row[0]
    columns.value[i] = row[1]
    columns.flags[i] = row[2]
    columns.delayMs[i] = row[3]
  }
  return columns
}
