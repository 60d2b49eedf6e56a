/** Measured daily records for the forecast tests and the accuracy report: one entry a day without holes in time. */
import type { MeasuredDay } from '../../../../hub/core/forecast/local-learning.js'
import type { Place } from '../../../../hub/core/readings.js'
import { addDays, daysBetween } from '../../../../shared/local-time.js'
import { loadTidy, loadTruth } from '../../../support/reference-data.js'

export interface DailyRecord {
  readonly name: string
  readonly place: Place
  readonly firstDate: string
  /** null: not measured */
  readonly days: readonly (MeasuredDay | null)[]
}

const cellC = (cell: string | undefined): number =>
  cell === undefined || cell === '' ? Number.NaN : Number(cell)

/** Columns date, tmin_c, tmax_c. */
async function dailyFile(name: string, file: string, place: Place): Promise<DailyRecord> {
  const rows = await loadTruth(file)
  const firstDate = rows[0]!.date!
  const days: (MeasuredDay | null)[] = []
  for (const row of rows) {
    const minC = cellC(row.tmin_c)
    const maxC = cellC(row.tmax_c)
    days[daysBetween(firstDate, row.date!)] =
      Number.isFinite(minC) && Number.isFinite(maxC) ? { date: row.date!, minC, maxC, eveningC: null } : null
  }
  return { name, place, firstDate, days: Array.from(days, (day) => day ?? null) }
}

export interface TimedTemperatures {
  readonly timeMs: Float64Array
  /** NaN: not measured */
  readonly airTempC: Float64Array
}

const DAY_MS = 86_400_000
const EVENING_FROM_HOUR = 21

/** Daily figures of a record with readings through the day; days with fewer than 80 % of them are left out. */
export function dailyFrom(
  name: string,
  place: Place,
  record: TimedTemperatures,
  utcOffsetHours: number,
): DailyRecord {
  const byDate = new Map<string, { hour: number; valueC: number }[]>()
  const stepMs = record.timeMs[1]! - record.timeMs[0]!
  for (const [i, timeMs] of record.timeMs.entries()) {
    const localMs = timeMs + utcOffsetHours * 3_600_000
    const date = new Date(localMs).toISOString().slice(0, 10)
    const values = byDate.get(date) ?? []
    if (!byDate.has(date)) byDate.set(date, values)
    const valueC = record.airTempC[i]!
    if (Number.isFinite(valueC)) values.push({ hour: (localMs % DAY_MS) / 3_600_000, valueC })
  }
  const firstDate = [...byDate.keys()][0]!
  const lastDate = [...byDate.keys()].at(-1)!
  const days: (MeasuredDay | null)[] = []
  for (let i = 0; i <= daysBetween(firstDate, lastDate); i++) {
    const date = addDays(firstDate, i)
    const values = byDate.get(date) ?? []
    if (values.length < (0.8 * DAY_MS) / stepMs) {
      days.push(null)
      continue
    }
    const evening = values.filter(({ hour }) => hour >= EVENING_FROM_HOUR)
    days.push({
      date,
      minC: Math.min(...values.map(({ valueC }) => valueC)),
      maxC: Math.max(...values.map(({ valueC }) => valueC)),
      eveningC:
        evening.length === 0 ? null : evening.reduce((sum, { valueC }) => sum + valueC, 0) / evening.length,
    })
  }
  return { name, place, firstDate, days }
}

export const TIMED_RECORDS = {
  tharandt: {
    file: 'tharandt-30min/tharandt-1998.tidy.csv.gz',
    place: { latitudeDeg: 50.9626, longitudeDeg: 13.5651, elevationM: 385 },
    utcOffsetHours: 1,
    timeZone: 'Etc/GMT-1',
  },
  winters: {
    file: 'winters-hourly/winters-2008.tidy.csv.gz',
    place: { latitudeDeg: 38.53, longitudeDeg: -121.97, elevationM: 40 },
    utcOffsetHours: -8,
    timeZone: 'Etc/GMT+8',
  },
  valencia: {
    file: 'sml2010-15min/sml2010-1.tidy.csv.gz',
    place: { latitudeDeg: 39.54, longitudeDeg: -0.38, elevationM: 50 },
    utcOffsetHours: 1,
    timeZone: 'Etc/GMT-1',
  },
} as const

export async function timedRecord(name: keyof typeof TIMED_RECORDS): Promise<TimedTemperatures> {
  const { timeMs, columns } = await loadTidy(TIMED_RECORDS[name].file)
  return { timeMs, airTempC: columns.air_temp_c! }
}

/** Seattle 2012–2015 and Manhattan (Kansas) 2003–2017. */
export const longRecords = (): Promise<DailyRecord[]> =>
  Promise.all([
    dailyFile('Seattle 2012–2015', 'seattle-daily/seattle-2012-2015.tidy.csv', {
      latitudeDeg: 47.45,
      longitudeDeg: -122.31,
      elevationM: 130,
    }),
    dailyFile('Manhattan, Kansas, 2003–2017', 'uscrn-manhattan-daily/uscrn-manhattan-2003-2017.tidy.csv', {
      latitudeDeg: 39.1,
      longitudeDeg: -96.61,
      elevationM: 330,
    }),
  ])

export async function dailyOfTimed(name: 'tharandt' | 'winters'): Promise<DailyRecord> {
  const { place, utcOffsetHours } = TIMED_RECORDS[name]
  return dailyFrom(name, place, await timedRecord(name), utcOffsetHours)
}
