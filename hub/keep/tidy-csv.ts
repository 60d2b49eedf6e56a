/**
 * Tidy CSV of measured weather: `#` header lines (`# key: value`), then a CSV header with a time column and any
 * of the known columns. Used by `replay` and `import` (and by the tests that run on measured data).
 */
import { createReadStream } from 'node:fs'
import { createGunzip } from 'node:zlib'
import { CsvError } from 'csv-parse'
import { type CsvRecord, csvRecords } from './csv-records.js'
import { TidyCsvError } from './port.js'
import { isNotUtf8, utf8Text } from './text-lines.js'

export { TidyCsvError } from './port.js'

/** column name → quantity. Both the documented names and common variants are accepted. */
export const COLUMN_QUANTITY: Readonly<Record<string, string>> = {
  air_temp_c: 'air-temp',
  soil_temp_c: 'soil-temp',
  light_lx: 'light',
  lux: 'light',
  irradiance_w_m2: 'irradiance',
  ghi_w_m2: 'irradiance',
  humidity_pct: 'humidity',
  rel_humidity_pct: 'humidity',
}

/** undefined: a column that is left aside */
export const quantityOf = (column: string): string | undefined =>
  Object.hasOwn(COLUMN_QUANTITY, column) ? COLUMN_QUANTITY[column] : undefined

const TIME_COLUMNS = ['time', 'time_utc']

/** ISO 8601 date and time; the offset may be missing only where the column's name says UTC. */
const ISO_TIME = /^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(:\d{2}([.,]\d+)?)?(Z|[+-]\d{2}:?\d{2})?$/
/** a line of such a table has some tens of numbers */
const LONGEST_RECORD = 100_000

export interface TidyRow {
  /** UTC ms */
  readonly timeMs: number
  /** every numeric column under its own name; empty cells are absent */
  readonly values: Readonly<Record<string, number>>
}

export interface TidyFile {
  /** from the `# key: value` lines */
  readonly meta: Readonly<Record<string, string>>
  readonly columns: readonly string[]
  readonly rows: AsyncIterable<TidyRow>
}

/** A line that cannot be used. */
export interface TidyFault {
  readonly line: number
  /** without the line's number */
  readonly message: string
}

/**
 * Opens a tidy CSV (gzipped when the name ends in .gz) and reads its head; rows come as they are asked for.
 *
 * @param onFault  told each line that cannot be used, which is left out; without it the first such line ends the reading
 * @throws TidyCsvError  no such file, no time column, a time that is not ISO 8601, a cell that is not a number,
 *                       a row with too many or too few cells; says which line
 */
export async function openTidyCsv(path: string, onFault?: (fault: TidyFault) => void): Promise<TidyFile> {
  const file = createReadStream(path)
  const bytes = path.endsWith('.gz') ? file.pipe(createGunzip()) : file
  if (bytes !== file) file.on('error', (error) => bytes.destroy(error))
  return readTidyCsv(path, bytes, onFault)
}

/** The same of bytes that come from elsewhere. @param name  what messages call it */
export async function readTidyCsv(
  name: string,
  bytes: AsyncIterable<Uint8Array>,
  onFault?: (fault: TidyFault) => void,
): Promise<TidyFile> {
  const records = recordsIn(name, bytes)
  const meta: Record<string, string> = {}
  while (true) {
    const next = await records.next()
    if (next.done) throw new TidyCsvError(`${name}: no header line with a column "time"`)
    const { record, info } = next.value
    if (record[0]?.startsWith('#')) {
      const [key, ...rest] = record.join(',').slice(1).split(':')
      meta[key!.trim()] = rest.join(':').trim()
    } else if (TIME_COLUMNS.some((column) => record.includes(column))) {
      return { meta, columns: record, rows: tidyRows(name, records, record, onFault) }
    } else {
      throw new TidyCsvError(noTimeColumn(name, record), info.lines)
    }
  }
}

/**
 * How far readings must be moved to stand for the middle of the time that a row covers, ms: a mean or a sum of an interval
 * that bears the time of its end (`# stamp: end`) or its start lies half a step off.
 *
 * @throws TidyCsvError  the file says so but not how long its steps are
 */
export function stampShiftMs(name: string, meta: Readonly<Record<string, string>>): number {
  const stamp = (meta.stamp ?? 'instant').toLowerCase()
  const side = stamp.startsWith('end') ? -1 : stamp.startsWith('start') ? 1 : 0
  if (side === 0) return 0
  const stepS = Number(meta.step_seconds)
  if (meta.step_seconds === undefined || !Number.isFinite(stepS) || stepS <= 0 || stepS > 86_400) {
    throw new TidyCsvError(
      `${name}: "# stamp: ${meta.stamp}" needs a line "# step_seconds: N" with the seconds that a row covers (at most a day)`,
    )
  }
  return Math.round(side * stepS * 500)
}

function noTimeColumn(path: string, header: readonly string[]): string {
  return header.includes('date')
    ? `${path}: this is a table of days (column "date"). Readings need a column "time" with the time of day ` +
        '(ISO 8601): a day’s minimum or mean is not something a node measured.'
    : `${path}: the header has no column "time" (ISO 8601). It has: ${header.join(', ')}`
}

/** Raw records with their line numbers; whatever goes wrong below comes out as a TidyCsvError. */
async function* recordsIn(name: string, bytes: AsyncIterable<Uint8Array>): AsyncGenerator<CsvRecord, void> {
  const options = {
    skipEmptyLines: true,
    bom: true,
    trim: true,
    relaxQuotes: true,
    maxRecordSize: LONGEST_RECORD,
  }
  try {
    yield* csvRecords(utf8Text(bytes), options)
  } catch (error) {
    throw readable(name, error)
  }
}

function readable(path: string, error: unknown): TidyCsvError {
  const { code, message } = error as NodeJS.ErrnoException
  if (code === 'ENOENT') return new TidyCsvError(`${path}: no such file`, null, { cause: error })
  if (code === 'EISDIR') return new TidyCsvError(`${path} is a folder, not a file`, null, { cause: error })
  if (code === 'EACCES') {
    return new TidyCsvError(`${path}: no permission to read this file`, null, { cause: error })
  }
  if (code?.startsWith('Z_')) {
    return new TidyCsvError(`${path}: it should be packed, but the content is not whole gzip (${message})`)
  }
  if (isNotUtf8(error)) {
    return new TidyCsvError(`${path}: not UTF-8 text. Save it as CSV in UTF-8.`, null, { cause: error })
  }
  if (code === 'CSV_MAX_RECORD_SIZE') {
    return new TidyCsvError(`${path}: a line is longer than ${LONGEST_RECORD} characters`, null, {
      cause: error,
    })
  }
  const line = error instanceof CsvError && typeof error.lines === 'number' ? error.lines : null
  return new TidyCsvError(`${path}: ${message}`, line, { cause: error })
}

async function* tidyRows(
  path: string,
  records: AsyncGenerator<CsvRecord, void>,
  columns: readonly string[],
  onFault: ((fault: TidyFault) => void) | undefined,
): AsyncGenerator<TidyRow> {
  const timeAt = columns.findIndex((name) => TIME_COLUMNS.includes(name))
  for await (const { record, info } of records) {
    if (record[0]?.startsWith('#')) continue
    const row = rowIn(record, columns, timeAt)
    if (typeof row !== 'string') yield row
    else if (onFault) onFault({ line: info.lines, message: row })
    else throw new TidyCsvError(`${path}, line ${info.lines}: ${row}`, info.lines)
  }
}

/** @returns what is wrong with it, in words, or the row */
function rowIn(record: readonly string[], columns: readonly string[], timeAt: number): TidyRow | string {
  if (record.length !== columns.length) {
    return `${record.length} cells, but the header has ${columns.length} columns`
  }
  const timeMs = parseTime(record[timeAt]!, columns[timeAt] === 'time_utc')
  if (timeMs === null) {
    return `"${excerpt(record[timeAt]!)}" is not an ISO 8601 time with offset (e.g. 2027-05-06T14:10:00+02:00)`
  }
  const values: Record<string, number> = {}
  for (const [i, name] of columns.entries()) {
    const cell = record[i]!
    if (i === timeAt || cell === '') continue
    const value = Number(cell)
    if (Number.isFinite(value)) values[name] = value
    else if (quantityOf(name) !== undefined) return `"${excerpt(cell)}" in column ${name} is not a number`
  }
  return { timeMs, values }
}

const excerpt = (cell: string): string => (cell.length > 60 ? `${cell.slice(0, 60)}…` : cell)

/**
 * Never through the machine's own time zone: a time without offset is UTC where the column says so, else null. A leap
 * second (…:60) is the second after it, as on the clocks of computers.
 */
function parseTime(text: string, isUtcColumn: boolean): number | null {
  const match = ISO_TIME.exec(text)
  if (!match || (match[3] === undefined && !isUtcColumn)) return null
  const isLeap = /:59:60/.test(text)
  const iso = text.replace(' ', 'T').replace(',', '.').replace(':59:60', ':59:59')
  const timeMs = Date.parse(match[3] === undefined ? `${iso}Z` : iso)
  return Number.isFinite(timeMs) ? timeMs + (isLeap ? 1000 : 0) : null
}
