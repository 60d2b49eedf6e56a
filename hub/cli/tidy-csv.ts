/**
 * Tidy CSV of measured weather: `#` header lines (`# key: value`), then a CSV header with a time column and any
 * of the known columns. Used by `replay` (and by the tests that run on measured data).
 */
import { createReadStream } from 'node:fs'
import { createGunzip } from 'node:zlib'
import { parse } from 'csv-parse'

/** column name → quantity. Both the documented names and common variants are accepted. */
export const COLUMN_QUANTITY: Readonly<Record<string, string>> = {
  air_temp_c: 'air-temp',
  soil_temp_c: 'soil-temp',
  light_lx: 'light',
  lux: 'light',
  irradiance_w_m2: 'irradiance',
  ghi_w_m2: 'irradiance',
  humidity_pct: 'humidity',
}

const TIME_COLUMNS = ['time', 'time_utc']

export interface TidyRow {
  /** UTC ms */
  readonly timeMs: number
  /** every numeric column under its own name; empty cells are absent */
  readonly values: Readonly<Record<string, number>>
}

export class TidyCsvError extends Error {
  constructor(
    message: string,
    readonly line: number | null = null,
  ) {
    super(message)
    this.name = 'TidyCsvError'
  }
}

export interface TidyFile {
  /** from the `# key: value` lines */
  readonly meta: Readonly<Record<string, string>>
  readonly columns: readonly string[]
  readonly rows: AsyncIterable<TidyRow>
}

/**
 * Opens a tidy CSV (gzipped when the name ends in .gz) and reads its head; rows come as they are asked for.
 *
 * @throws TidyCsvError  no time column, a time that is not ISO 8601, a cell that is not a number; says which line
 */
export async function openTidyCsv(path: string): Promise<TidyFile> {
  const file = createReadStream(path)
  const text = path.endsWith('.gz') ? file.pipe(createGunzip()) : file
  const meta: Record<string, string> = {}
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

  const records = parser[Symbol.asyncIterator]() as AsyncIterator<{
    record: string[]
    info: { lines: number }
  }>
  let columns: string[] | null = null
  while (columns === null) {
    const next = await records.next()
    if (next.done) throw new TidyCsvError(`${path}: no header line with a time column`)
    const { record, info } = next.value
    const first = record[0] ?? ''
    if (first.startsWith('#')) {
      const [key, ...rest] = record.join(',').slice(1).split(':')
      meta[key!.trim()] = rest.join(':').trim()
    } else if (TIME_COLUMNS.some((name) => record.includes(name))) {
      columns = record
    } else {
      throw new TidyCsvError(
        `${path}: the header has no column "time" (found: ${record.join(', ')})`,
        info.lines,
      )
    }
  }
  return { meta, columns, rows: tidyRows(path, records, columns) }
}

async function* tidyRows(
  path: string,
  records: AsyncIterator<{ record: string[]; info: { lines: number } }>,
  columns: readonly string[],
): AsyncGenerator<TidyRow> {
  const timeAt = columns.findIndex((name) => TIME_COLUMNS.includes(name))
  while (true) {
    const next = await records.next()
    if (next.done) return
    const { record, info } = next.value
    const timeMs = Date.parse(record[timeAt] ?? '')
    if (!Number.isFinite(timeMs)) {
      throw new TidyCsvError(
        `${path}, line ${info.lines}: "${record[timeAt]}" is not an ISO 8601 time`,
        info.lines,
      )
    }
    const values: Record<string, number> = {}
    for (const [i, name] of columns.entries()) {
      const cell = record[i]
      if (i === timeAt || cell === undefined || cell === '') continue
      const value = Number(cell)
      if (Number.isFinite(value)) values[name] = value
      else if (name in COLUMN_QUANTITY) {
        throw new TidyCsvError(
          `${path}, line ${info.lines}: "${cell}" in column ${name} is not a number`,
          info.lines,
        )
      }
    }
    yield { timeMs, values }
  }
}
