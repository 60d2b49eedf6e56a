/**
 * InfluxDB 1.x through its client: the one file that knows it. Every write and query says milliseconds (the
 * client's own default is nanoseconds). One measurement, tagged by garden, node and quantity; a point is a reading.
 *
 * Not left to the client: retrying (with one server it does not), giving up (an answer that breaks off never ends),
 * and local days, which the database never cuts.
 */
import { FieldType, InfluxDB, type IPoint } from 'influx'
import type { SeriesKey } from '../port.js'
import { emptyRows, type StoredRows } from '../stored-rows.js'
import { InfluxError } from './influx-error.js'

export interface InfluxSettings {
  /** http://host:8086 or https://… */
  readonly url: string
  /** null: a database without sign-in */
  readonly user: string | null
  readonly password: string | null
  readonly database: string
}

export interface RowToSend extends SeriesKey {
  readonly timeMs: number
  readonly value: number
  readonly flags: number
  readonly delayMs: number
}

export interface RemoteSeries extends SeriesKey {
  readonly count: number
  readonly firstMs: number
  readonly lastMs: number
}

/** fromMs <= time < toMs */
export interface Span {
  readonly fromMs: number
  readonly toMs: number
}

/** All methods reject with InfluxError. */
export interface InfluxDatabase {
  /** Makes the database where it is not there and the user may; does nothing where it is. */
  make(): Promise<void>
  /** Resolves when the server answers. */
  ping(): Promise<void>
  /** Resolves when the server has the readings on disk (with its wal-fsync-delay of 0). Same key: overwritten. */
  write(rows: readonly RowToSend[]): Promise<void>
  read(series: SeriesKey, span: Span): Promise<StoredRows>
  /** times of readings in each span */
  times(series: SeriesKey, spans: readonly Span[]): Promise<number[]>
  count(series: SeriesKey, span: Span): Promise<number>
  /** newest reading without a flag of `exceptFlags` */
  newest(series: SeriesKey, exceptFlags: number): Promise<StoredRows>
  listSeries(): Promise<RemoteSeries[]>
  /** null: no readings of it */
  extent(series: SeriesKey): Promise<{ firstMs: number; lastMs: number } | null>
  remove(series: SeriesKey, span: Span): Promise<void>
}

const MEASUREMENT = 'reading'
const PRECISION = 'ms'
const PING_DEADLINE_MS = 5_000
const WRITE_DEADLINE_MS = 10_000
const QUERY_DEADLINE_MS = 30_000
/** Rows of one answer: more are asked for piece by piece, so that memory stays bounded. */
const ROWS_A_PAGE = 100_000
/** Questions sent in one request. */
const SPANS_A_REQUEST = 50
/** InfluxDB's own limits of time, in ms: https://docs.influxdata.com/influxdb/v1/troubleshooting/frequently-asked-questions/ */
const FIRST_MS = -9_223_372_036_854
const AFTER_LAST_MS = 9_223_372_036_854

type Cell = number | string | null
interface Table {
  readonly tags?: Readonly<Record<string, string>>
  readonly columns: readonly string[]
  readonly values: readonly (readonly Cell[])[]
}
interface Answer {
  readonly results: readonly { readonly series?: readonly Table[]; readonly error?: string }[]
}

export function connectInflux(settings: InfluxSettings): InfluxDatabase {
  const url = new URL(settings.url)
  const client = new InfluxDB({
    host: url.hostname,
    port: Number(url.port) || (url.protocol === 'https:' ? 443 : 8086),
    protocol: url.protocol === 'https:' ? 'https' : 'http',
    path: url.pathname === '/' ? '' : url.pathname,
    ...(settings.user === null ? {} : { username: settings.user, password: settings.password ?? '' }),
    database: settings.database,
    // no retries, and never shut out for a while: when to try again is the forwarder's to say
    pool: { maxRetries: 0, requestTimeout: QUERY_DEADLINE_MS, backoff: NO_PAUSE },
    schema: [
      {
        measurement: MEASUREMENT,
        tags: ['garden', 'node', 'quantity'],
        // a field's type is fixed by its first value: numbers that happen to be whole are floats all the same
        fields: { value: FieldType.FLOAT, flags: FieldType.INTEGER, delay_ms: FieldType.INTEGER },
      },
    ],
  })

  async function ask(statements: readonly string[]): Promise<readonly (readonly Table[])[]> {
    const giveUp = new AbortController()
    const answer: Answer = await within(
      QUERY_DEADLINE_MS,
      () => client.queryRaw([...statements], { precision: PRECISION, method: 'POST', signal: giveUp.signal }),
      () => giveUp.abort(),
    )
    return answer.results.map((result) => {
      if (result.error !== undefined) throw InfluxError.ofAnswer(result.error)
      return result.series ?? []
    })
  }

  const askOne = async (statement: string): Promise<readonly Table[]> => (await ask([statement]))[0] ?? []

  async function read(series: SeriesKey, { fromMs, toMs }: Span): Promise<StoredRows> {
    const pages: StoredRows[] = []
    for (let next = fromMs; next < toMs; ) {
      const [table] = await askOne(
        `SELECT value, flags, delay_ms FROM ${MEASUREMENT} WHERE ${isSeries(series)} AND ${isWithin({ fromMs: next, toMs })} LIMIT ${ROWS_A_PAGE}`,
      )
      if (!table) break
      const page = rowsOf(table)
      pages.push(page)
      if (page.timeMs.length < ROWS_A_PAGE) break
      next = page.timeMs[page.timeMs.length - 1]! + 1
    }
    return joinRows(pages)
  }

  return {
    async make() {
      await within(QUERY_DEADLINE_MS, () => client.createDatabase(settings.database))
    },
    async ping() {
      const [answer] = await within(PING_DEADLINE_MS, () => client.ping(PING_DEADLINE_MS))
      if (!answer?.online) throw new InfluxError('down', `${url.host} does not answer`)
    },
    async write(rows) {
      const points: IPoint[] = rows.map(({ garden, node, quantity, timeMs, value, flags, delayMs }) => ({
        measurement: MEASUREMENT,
        tags: { garden, node, quantity },
        fields: { value, flags, delay_ms: delayMs },
        timestamp: timeMs,
      }))
      await within(WRITE_DEADLINE_MS, () => client.writePoints(points, { precision: PRECISION }))
    },
    read,
    async times(series, spans) {
      const times: number[] = []
      for (let i = 0; i < spans.length; i += SPANS_A_REQUEST) {
        const questions = spans
          .slice(i, i + SPANS_A_REQUEST)
          .map((span) => `SELECT value FROM ${MEASUREMENT} WHERE ${isSeries(series)} AND ${isWithin(span)}`)
        for (const tables of await ask(questions))
          for (const table of tables) for (const row of table.values) times.push(numberIn(row[0]))
      }
      return times
    },
    async count(series, span) {
      const [table] = await askOne(
        `SELECT count(value) FROM ${MEASUREMENT} WHERE ${isSeries(series)} AND ${isWithin(span)}`,
      )
      return table ? numberIn(table.values[0]?.[1]) : 0
    },
    async newest(series, exceptFlags) {
      const [table] = await askOne(
        `SELECT value, flags, delay_ms FROM ${MEASUREMENT} WHERE ${isSeries(series)} AND ${isWithin(ALL_TIME)} AND flags & ${exceptFlags} = 0 ORDER BY time DESC LIMIT 1`,
      )
      return table ? rowsOf(table) : joinRows([])
    },
    async listSeries() {
      const grouped = `FROM ${MEASUREMENT} WHERE ${isWithin(ALL_TIME)} GROUP BY garden, node, quantity`
      const [counts, firsts, lasts] = await ask([
        `SELECT count(value) ${grouped}`,
        `SELECT value ${grouped} ORDER BY time ASC LIMIT 1`,
        `SELECT value ${grouped} ORDER BY time DESC LIMIT 1`,
      ])
      const keyOf = ({ tags }: Table): string => `${tags?.garden}/${tags?.node}/${tags?.quantity}`
      const timeOf = (tables: readonly Table[] | undefined): Map<string, number> =>
        new Map((tables ?? []).map((table) => [keyOf(table), numberIn(table.values[0]?.[0])]))
      const first = timeOf(firsts)
      const last = timeOf(lasts)
      return (counts ?? []).map((table) => ({
        garden: table.tags?.garden ?? '',
        node: table.tags?.node ?? '',
        quantity: table.tags?.quantity ?? '',
        count: numberIn(table.values[0]?.[1]),
        firstMs: first.get(keyOf(table))!,
        lastMs: last.get(keyOf(table))!,
      }))
    },
    async extent(series) {
      const where = `FROM ${MEASUREMENT} WHERE ${isSeries(series)} AND ${isWithin(ALL_TIME)}`
      const [[first] = [], [last] = []] = await ask([
        `SELECT value ${where} ORDER BY time ASC LIMIT 1`,
        `SELECT value ${where} ORDER BY time DESC LIMIT 1`,
      ])
      if (!first || !last) return null
      return { firstMs: numberIn(first.values[0]?.[0]), lastMs: numberIn(last.values[0]?.[0]) }
    },
    async remove(series, span) {
      await askOne(`DELETE FROM ${MEASUREMENT} WHERE ${isSeries(series)} AND ${isWithin(span)}`)
    },
  }
}

/** Times closer together than this are looked up in one question. */
const ONE_QUESTION_MS = 6 * 3_600_000

/** Spans that hold all the times, which are ascending: few questions, none of them wide. */
export function spansOf(times: readonly number[]): Span[] {
  const spans: { fromMs: number; toMs: number }[] = []
  for (const timeMs of times) {
    const last = spans.at(-1)
    if (last && timeMs - last.toMs < ONE_QUESTION_MS) last.toMs = timeMs + 1
    else spans.push({ fromMs: timeMs, toMs: timeMs + 1 })
  }
  return spans
}

const ALL_TIME: Span = { fromMs: FIRST_MS, toMs: AFTER_LAST_MS }

const NO_PAUSE = { getDelay: () => 0, next: () => NO_PAUSE, reset: () => NO_PAUSE }

/** InfluxQL string literals: backslash and quote are escaped. Ids have neither, but the query does not rely on it. */
const quoted = (text: string): string => `'${text.replace(/[\\']/g, '\\$&')}'`

const isSeries = ({ garden, node, quantity }: SeriesKey): string =>
  `garden = ${quoted(garden)} AND node = ${quoted(node)} AND quantity = ${quoted(quantity)}`

const isWithin = ({ fromMs, toMs }: Span): string =>
  `time >= ${Math.ceil(Math.max(fromMs, FIRST_MS))}ms AND time < ${Math.ceil(Math.min(toMs, AFTER_LAST_MS))}ms`

function numberIn(cell: Cell | undefined): number {
  if (typeof cell !== 'number')
    throw new InfluxError('down', `an answer without the number asked for: ${cell}`)
  return cell
}

function rowsOf({ values }: Table): StoredRows {
  const rows = emptyRows(values.length)
  for (const [i, [timeMs, value, flags, delayMs]] of values.entries()) {
    rows.timeMs[i] = numberIn(timeMs)
    rows.value[i] = numberIn(value)
    // readings that another program wrote may lack these
    rows.flags[i] = typeof flags === 'number' ? flags : 0
    rows.delayMs[i] = typeof delayMs === 'number' ? delayMs : 0
  }
  return rows
}

function joinRows(pages: readonly StoredRows[]): StoredRows {
  if (pages.length === 1) return pages[0]!
  const all = emptyRows(pages.reduce((n, page) => n + page.timeMs.length, 0))
  let at = 0
  for (const page of pages) {
    all.timeMs.set(page.timeMs, at)
    all.value.set(page.value, at)
    all.flags.set(page.flags, at)
    all.delayMs.set(page.delayMs, at)
    at += page.timeMs.length
  }
  return all
}

/** The client waits for ever for an answer that breaks off in the middle. */
async function within<T>(deadlineMs: number, call: () => Promise<T>, giveUp = (): void => {}): Promise<T> {
  let timer: NodeJS.Timeout | undefined
  const late = new Promise<never>((_resolve, reject) => {
    timer = setTimeout(() => {
      reject(new InfluxError('down', `no answer within ${deadlineMs / 1000} s`))
      giveUp()
    }, deadlineMs)
  })
  try {
    return await Promise.race([call(), late])
  } catch (error) {
    throw InfluxError.of(error)
  } finally {
    clearTimeout(timer)
  }
}
