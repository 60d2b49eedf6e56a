/**
 * A year of weather from a file: tidy CSV (`#` comment lines, then a header) of days (`date`, `tmin_c`, `tmax_c`, and if known `tavg_c`,
 * `soil_temp_c`) or of hours (`time`, `air_temp_c`, and if known `soil_temp_c`). Of a longer file the newest whole year is taken.
 */
import { setImmediate } from 'node:timers/promises'
import { CsvError, parse } from 'csv-parse/sync'
import { addDays, daysBetween, isDate, localDate, startOfDayMs } from '../../shared/local-time.js'
import { climateFromDays, type MeasuredDay } from '../core/plan/climate-from-days.js'
import { WeatherFileError } from './season-plan-port.js'

/** Columns by what they hold: the plain names first, then others in use. */
const NAMES = {
  date: ['date'],
  time: ['time', 'time_utc'],
  minC: ['air_temp_min_c', 'tmin_c'],
  maxC: ['air_temp_max_c', 'tmax_c'],
  meanC: ['air_temp_mean_c', 'tavg_c', 'tmean_c'],
  airC: ['air_temp_c'],
  soilC: ['soil_temp_c', 'soil5_c'],
} as const
type Column = keyof typeof NAMES

/** Colder or hotter than this it has nowhere been in a shaded screen (world records: -89.2 and 56.7 °C). */
const COLDEST_C = -90
const HOTTEST_C = 60
/** A day of hours counts if each of its parts has a reading: coarser than three hours misses minimum and maximum. */
const PARTS_A_DAY = 8
const PART_MS = (24 / PARTS_A_DAY) * 3_600_000
const DAYS_A_YEAR = 365
const ISO_TIME = /^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(:\d{2}([.,]\d+)?)?(Z|[+-]\d{2}:?\d{2})?$/

interface Row {
  readonly line: number
  cell(column: Column): string
}

/**
 * @param timeZone  the garden's: decides which day an hour belongs to
 * @returns         one whole year of days, ascending
 * @throws WeatherFileError  not CSV, a column is missing, a cell makes no sense, or there is no whole year in it
 */
export async function yearFromFile(text: string, timeZone: string): Promise<MeasuredDay[]> {
  const rows = rowsOf(text)
  const first = rows[0]
  if (first === undefined) throw new WeatherFileError('the file has no lines of weather')
  const days =
    first.cell('date') === '' && first.cell('time') !== '' ? await fromHours(rows, timeZone) : fromDays(rows)
  return newestWholeYear(days)
}

function rowsOf(text: string): Row[] {
  const lines: number[] = []
  let records: string[][]
  try {
    records = parse(text, {
      bom: true,
      comment: '#',
      comment_no_infix: true,
      skip_empty_lines: true,
      trim: true,
      on_record: (record, info) => {
        lines.push(info.lines)
        return record
      },
    })
  } catch (error) {
    if (error instanceof CsvError) throw new WeatherFileError(`it cannot be read as CSV: ${error.message}`)
    throw error
  }
  const header = records[0] ?? []
  const at = new Map(Object.entries(NAMES).map(([column, names]) => [column, positionOf(header, names)]))
  const has = (column: Column): boolean => (at.get(column) ?? -1) >= 0
  if (!(has('date') && has('minC') && has('maxC')) && !(has('time') && has('airC'))) {
    throw new WeatherFileError(
      `its first line must name the columns date, tmin_c, tmax_c (a line a day) or time, air_temp_c (a line an hour); it has ${header.slice(0, 12).join(', ') || 'none'}`,
    )
  }
  return records.slice(1).map((record, i) => ({
    line: lines[i + 1] ?? 0,
    cell: (column) => record[at.get(column) ?? -1] ?? '',
  }))
}

const positionOf = (header: readonly string[], names: readonly string[]): number =>
  header.findIndex((name) => names.includes(name))

function temperature(row: Row, column: Column): number | null {
  const text = row.cell(column)
  if (text === '') return null
  const value = /^-?\d+(\.\d+)?$/.test(text) ? Number(text) : Number.NaN
  if (value >= COLDEST_C && value <= HOTTEST_C) return value
  throw new WeatherFileError(
    `line ${row.line}: ${text.slice(0, 40)} is no temperature in °C (leave empty what was not measured)`,
  )
}

function fromDays(rows: readonly Row[]): MeasuredDay[] {
  const byDate = new Map<string, MeasuredDay>()
  for (const row of rows) {
    const date = row.cell('date')
    if (!isDate(date))
      throw new WeatherFileError(`line ${row.line}: ${date.slice(0, 40)} is no date (YYYY-MM-DD)`)
    const minC = temperature(row, 'minC')
    const maxC = temperature(row, 'maxC')
    if (minC !== null && maxC !== null && minC > maxC) {
      throw new WeatherFileError(`line ${row.line}: the lowest of ${date} lies above its highest`)
    }
    if (byDate.has(date)) throw new WeatherFileError(`line ${row.line}: ${date} is there twice`)
    byDate.set(date, {
      date,
      minC,
      maxC,
      meanC: temperature(row, 'meanC'),
      soilMeanC: temperature(row, 'soilC'),
    })
  }
  return ascending(byDate)
}

interface DayOfHours {
  readonly air: Parts
  readonly soil: Parts
  minC: number
  maxC: number
}

/** Sums of each part of a day, so that readings that lie close together do not weigh more. */
interface Parts {
  readonly sum: number[]
  readonly count: number[]
}
const parts = (): Parts => ({ sum: Array(PARTS_A_DAY).fill(0), count: Array(PARTS_A_DAY).fill(0) })

function addTo({ sum, count }: Parts, part: number, value: number): void {
  sum[part] = (sum[part] ?? 0) + value
  count[part] = (count[part] ?? 0) + 1
}

/** Mean over the day; null: a part has no reading. */
function meanOf({ sum, count }: Parts): number | null {
  if (count.some((n) => n === 0)) return null
  return sum.reduce((total, value, part) => total + value / (count[part] ?? 1), 0) / PARTS_A_DAY
}

/** A year of hours takes a small computer a while: others may work in between. */
const ROWS_AT_ONCE = 500

async function fromHours(rows: readonly Row[], timeZone: string): Promise<MeasuredDay[]> {
  const byDate = new Map<string, DayOfHours>()
  const starts = new Map<string, number>()
  for (const [i, row] of rows.entries()) {
    if (i % ROWS_AT_ONCE === ROWS_AT_ONCE - 1) await setImmediate()
    const airC = temperature(row, 'airC')
    const soilC = temperature(row, 'soilC')
    const timeMs = timeOf(row)
    const date = localDate(timeMs, timeZone)
    const startMs = starts.get(date) ?? startOfDayMs(date, timeZone)
    starts.set(date, startMs)
    // the last part of a day of 25 hours is longer
    const part = Math.min(PARTS_A_DAY - 1, Math.floor((timeMs - startMs) / PART_MS))
    const day = byDate.get(date) ?? {
      air: parts(),
      soil: parts(),
      minC: Number.POSITIVE_INFINITY,
      maxC: Number.NEGATIVE_INFINITY,
    }
    byDate.set(date, day)
    if (airC !== null) {
      addTo(day.air, part, airC)
      day.minC = Math.min(day.minC, airC)
      day.maxC = Math.max(day.maxC, airC)
    }
    if (soilC !== null) addTo(day.soil, part, soilC)
  }
  const days = [...byDate].map(([date, day]): [string, MeasuredDay] => {
    const meanC = meanOf(day.air)
    const isWhole = meanC !== null
    return [
      date,
      {
        date,
        minC: isWhole ? day.minC : null,
        maxC: isWhole ? day.maxC : null,
        meanC,
        soilMeanC: meanOf(day.soil),
      },
    ]
  })
  return ascending(new Map(days))
}

function timeOf(row: Row): number {
  const text = row.cell('time')
  if (!ISO_TIME.test(text))
    throw new WeatherFileError(`line ${row.line}: ${text.slice(0, 40)} is no time (ISO 8601)`)
  // a time without an offset is taken as UTC, as the tidy form has it
  const timeMs = Date.parse(
    `${text.replace(' ', 'T').replace(',', '.')}${/(Z|[+-]\d{2}:?\d{2})$/.test(text) ? '' : 'Z'}`,
  )
  if (Number.isFinite(timeMs)) return timeMs
  throw new WeatherFileError(`line ${row.line}: there is no ${text.slice(0, 40)}`)
}

const ascending = (byDate: ReadonlyMap<string, MeasuredDay>): MeasuredDay[] =>
  [...byDate.values()].sort((a, b) => (a.date < b.date ? -1 : 1))

function newestWholeYear(days: readonly MeasuredDay[]): MeasuredDay[] {
  const known = days.filter(({ minC, maxC }) => minC !== null && maxC !== null)
  const first = known[0]
  const last = known.at(-1)
  const span = first && last ? daysBetween(first.date, last.date) + 1 : 0
  if (!first || !last || span < DAYS_A_YEAR) {
    throw new WeatherFileError(
      `it holds ${span} days from the first to the last whole one: a plan needs a whole year, ${DAYS_A_YEAR} days and more`,
    )
  }
  const byDate = new Map(days.map((day) => [day.date, day]))
  for (
    let end = last.date;
    daysBetween(first.date, end) >= DAYS_A_YEAR - 1;
    end = addDays(end, -DAYS_A_YEAR)
  ) {
    const begin = addDays(end, 1 - DAYS_A_YEAR)
    const year = Array.from(
      { length: DAYS_A_YEAR },
      (_, i) => byDate.get(addDays(begin, i)) ?? notMeasured(addDays(begin, i)),
    )
    if (yearServes(year)) return year
  }
  throw new WeatherFileError('no year of it is without a hole of more than ten days')
}

const yearServes = (year: readonly MeasuredDay[]): boolean =>
  climateFromDays(year, 'chosen year').climate !== null

const notMeasured = (date: string): MeasuredDay => ({
  date,
  minC: null,
  maxC: null,
  meanC: null,
  soilMeanC: null,
})
