/** A tidy CSV file on its way into the store: checked whole, then sent in parts that each are a table of their own. */
import type { ImportFault, ImportReport } from '../../shared/api/export.js'
import { csvLine, numberText } from '../keep/csv-text.js'
import { KeepError } from '../keep/port.js'
import { openTidyCsv, type TidyRow } from '../keep/tidy-csv.js'
import { readingsIn, type TidyReading } from '../keep/tidy-readings.js'
import type { ProgressLine } from './progress-line.js'

const MOST_FAULTS = 50
const ROWS_A_PART = 5_000
/** one column a quantity */
const COLUMNS = {
  'air-temp': 'air_temp_c',
  'soil-temp': 'soil_temp_c',
  light: 'light_lx',
  irradiance: 'irradiance_w_m2',
  humidity: 'humidity_pct',
} as const
const QUANTITIES = Object.keys(COLUMNS)

export interface TidyImport {
  readonly rows: number
  readonly readings: number
  readonly stored: number
  readonly repeated: number
  readonly doubted: number
  readonly faults: readonly ImportFault[]
  readonly faultyLines: number
  readonly from: string | null
  readonly to: string | null
}

/**
 * @param send  stores one part
 * @throws TidyCsvError  not such a file
 * @throws KeepError     lines at fault, unless they are to be skipped; nothing was stored
 */
export async function importTidyFile(
  path: string,
  { skipFaulty, progress }: { readonly skipFaulty: boolean; readonly progress: ProgressLine },
  send: (csv: string) => Promise<ImportReport>,
): Promise<TidyImport> {
  const faults: ImportFault[] = []
  let faultyLines = 0
  let rows = 0
  progress.start('checking', 0, 'lines')
  for await (const _row of rowsOf(path, (fault) => {
    faultyLines++
    if (faults.length < MOST_FAULTS) faults.push(fault)
  })) {
    rows++
    progress.at(rows)
  }
  if (faultyLines > 0 && !skipFaulty) {
    throw new KeepError(
      `${path}: ${faultyLines} lines cannot be used; nothing was stored. Correct them, or leave them out with --skip-faulty.`,
      faults.map(({ line, message }) => `line ${line}: ${message}`),
    )
  }

  progress.start('storing', rows, 'lines')
  const sum = { rows: 0, readings: 0, stored: 0, repeated: 0, doubted: 0 }
  const times: string[] = []
  const sendPart = async (part: string): Promise<void> => {
    const report = await send(HEADER + part)
    for (const name of ['rows', 'readings', 'stored', 'repeated', 'doubted'] as const)
      sum[name] += report[name]
    for (const time of [report.from, report.to]) if (time !== null) times.push(time)
    progress.at(sum.rows)
  }
  let part = ''
  let rowsInPart = 0
  for await (const readings of rowsOf(path, () => {})) {
    part += lineOf(readings)
    rowsInPart++
    if (rowsInPart < ROWS_A_PART) continue
    await sendPart(part)
    part = ''
    rowsInPart = 0
  }
  if (rowsInPart > 0) await sendPart(part)
  progress.stop()
  times.sort()
  return { ...sum, faults, faultyLines, from: times[0] ?? null, to: times.at(-1) ?? null }
}

const HEADER = csvLine(['time', ...Object.values(COLUMNS)])

/** Rows with anything known in them; times already in the middle of what each row covers. */
async function* rowsOf(
  path: string,
  onFault: (fault: ImportFault) => void,
): AsyncGenerator<readonly TidyReading[], void> {
  const file = await openTidyCsv(path, onFault)
  const readingsOf = readingsIn(path, file)
  for await (const row of file.rows satisfies AsyncIterable<TidyRow>) {
    const readings = readingsOf(row)
    if (readings.length > 0) yield readings
  }
}

function lineOf(readings: readonly TidyReading[]): string {
  const time = new Date(readings[0]?.timeMs ?? Number.NaN).toISOString()
  return csvLine([
    time,
    ...QUANTITIES.map((quantity) => {
      const found = readings.find((reading) => reading.quantity === quantity)
      return found ? numberText(found.value) : ''
    }),
  ])
}
