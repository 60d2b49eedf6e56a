/**
 * Tidy CSV of measured weather: `#` header lines (`# key: value`), then a CSV header with a time column and any
 * of the known columns. Used by `replay` (and by the tests that run on measured data).
 */
import { createReadStream } from 'node:fs'
import { createGunzip } from 'node:zlib'
import { CsvError, parse } from 'csv-parse'

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

const TIME_COLUMNS = ['time', 'time_utc']

/** ISO 8601 date and time; the offset may be missing only where the column's name says UTC. */
const ISO_TIME = /^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(:\d{2}([.,]\d+)?)?(Z|[+-]\d{2}:?\d{2})?$/

export interface TidyRow {
  /** UTC ms */
  readonly timeMs: number
  /** every numeric column under its own name; empty cells are absent */
  readonly values: Readonly<Record<string, number>>
}

/** A file that cannot be read as tidy CSV; the message names the file, the line and what is wrong there. */
export class TidyCsvError extends Error {
  constructor(
    message: string,
    readonly line: number | null = null,
    options?: { cause?: unknown },
  ) {
    super(message, options)
    this.name = 'TidyCsvError'
  }
}

export interface TidyFile {
  /** from the `# key: value` lines */
  readonly meta: Readonly<Record<string, string>>
  readonly columns: readonly string[]
  readonly rows: AsyncIterable<TidyRow>
}

interface CsvRecord {
  readonly record: string[]
  readonly info: { readonly lines: number }
}

/**
 * Opens a tidy CSV (gzipped when the name ends in .gz) and reads its head; rows come as they are asked for.
 *
 * @throws TidyCsvError  no such file, no time column, a time that is not ISO 8601, a cell that is not a number,
 *                       a row with too many or too few cells; says which line
 */
export async function openTidyCsv(path: string): Promise<TidyFile> {
  const records = csvRecords(path)
  const meta: Record<string, string> = {}
  while (true) {
    const next = await records.next()
    if (next.done) throw new TidyCsvError(`${path}: no header line with a column "time"`)
    const { record, info } = next.value
    if (record[0]?.startsWith('#')) {
      const [key, ...rest] = record.join(',').slice(1).split(':')
      meta[key!.trim()] = rest.join(':').trim()
    } else if (TIME_COLUMNS.some((name) => record.includes(name))) {
      return { meta, columns: record, rows: tidyRows(path, records, record) }
    } else {
      throw new TidyCsvError(noTimeColumn(path, record), info.lines)
    }
  }
}

function noTimeColumn(path: string, header: readonly string[]): string {
  return header.includes('date')
    ? `${path}: this is a table of days (column "date"). Readings need a column "time" with the time of day ` +
        '(ISO 8601): a day’s minimum or mean is not something a node measured.'
    : `${path}: the header has no column "time" (ISO 8601). It has: ${header.join(', ')}`
}

/** Raw records with their line numbers; whatever goes wrong below comes out as a TidyCsvError. */
async function* csvRecords(path: string): AsyncGenerator<CsvRecord, void> {
  const file = createReadStream(path)
  const text = path.endsWith('.gz') ? file.pipe(createGunzip()) : file
  const parser = parse({
    relaxColumnCount: true,
    skipEmptyLines: true,
    bom: true,
    trim: true,
    relaxQuotes: true,
    info: true,
  })
  file.on('error', (error) => parser.destroy(error))
  text.on('error', (error: Error) => parser.destroy(error))
  text.pipe(parser)
  try {
    for await (const record of parser as AsyncIterable<CsvRecord>) yield record
  } catch (error) {
    throw readable(path, error)
  } finally {
    file.destroy()
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
    return new TidyCsvError(`${path}: the name ends in .gz, but the content is not whole gzip (${message})`)
  }
  const line = error instanceof CsvError && typeof error.lines === 'number' ? error.lines : null
  return new TidyCsvError(`${path}: ${message}`, line, { cause: error })
}

async function* tidyRows(
  path: string,
  records: AsyncGenerator<CsvRecord, void>,
  columns: readonly string[],
): AsyncGenerator<TidyRow> {
  const timeAt = columns.findIndex((name) => TIME_COLUMNS.includes(name))
  const isUtcColumn = columns[timeAt] === 'time_utc'
  for await (const { record, info } of records) {
    const where = `${path}, line ${info.lines}`
    if (record[0]?.startsWith('#')) continue
    if (record.length !== columns.length) {
      throw new TidyCsvError(
        `${where}: ${record.length} cells, but the header has ${columns.length} columns`,
        info.lines,
      )
    }
    const timeMs = parseTime(record[timeAt]!, isUtcColumn)
    if (timeMs === null) {
      throw new TidyCsvError(
        `${where}: "${record[timeAt]}" is not an ISO 8601 time with offset (e.g. 2027-05-06T14:10:00+02:00)`,
        info.lines,
      )
    }
    const values: Record<string, number> = {}
    for (const [i, name] of columns.entries()) {
      const cell = record[i]!
      if (i === timeAt || cell === '') continue
      const value = Number(cell)
      if (Number.isFinite(value)) values[name] = value
      else if (name in COLUMN_QUANTITY) {
        throw new TidyCsvError(`${where}: "${cell}" in column ${name} is not a number`, info.lines)
      }
    }
    yield { timeMs, values }
  }
}

/** Never through the machine's own time zone: a time without offset is UTC where the column says so, else null. */
function parseTime(text: string, isUtcColumn: boolean): number | null {
  const match = ISO_TIME.exec(text)
  if (!match || (match[3] === undefined && !isUtcColumn)) return null
  const iso = text.replace(' ', 'T').replace(',', '.')
  const timeMs = Date.parse(match[3] === undefined ? `${iso}Z` : iso)
  return Number.isFinite(timeMs) ? timeMs : null
}
