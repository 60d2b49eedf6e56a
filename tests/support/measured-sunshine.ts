/**
 * One-minute records with direct irradiance, as the sun tests use them: global irradiance turned into what a
 * lux sensor would have said, and the true sunshine by the WMO definition.
 */

import type { Place, ReadingColumns } from '../../hub/core/readings.js'
import { addDays, type LocalDay, localDate, localDay } from '../../shared/local-time.js'
import { loadTidy } from './reference-data.js'

export interface SunRecord {
  readonly name: string
  readonly place: Place
  readonly timeZone: string
  /** UTC ms of the middle of each minute */
  readonly timeMs: Float64Array
  readonly globalWm2: Float64Array
  readonly directNormalWm2: Float64Array
  readonly diffuseWm2: Float64Array
}

export const SUN_RECORDS = [
  'dtu-lyngby-1min/dtu_2016_05',
  'dtu-lyngby-1min/dtu_2017_06',
  'dtu-lyngby-1min/dtu_2018_08',
  'surfrad-alamosa-1min/surfrad-slv16001',
] as const

export async function loadSunRecord(name: string): Promise<SunRecord> {
  const file = await loadTidy(`${name}.tidy.csv.gz`)
  const numberOf = (key: string): number => {
    const value = Number(file.meta[key])
    if (!Number.isFinite(value)) throw new Error(`${name}: header line "${key}" is not a number`)
    return value
  }
  const columnOf = (key: string): Float64Array => {
    const column = file.columns[key]
    if (!column) throw new Error(`${name}: no column ${key}`)
    return column
  }
  const toMiddleMs = (file.meta.stamp?.startsWith('end') ? -0.5 : 0.5) * numberOf('step_seconds') * 1000
  return {
    name,
    place: {
      latitudeDeg: numberOf('lat'),
      longitudeDeg: numberOf('lon'),
      elevationM: numberOf('elevation_m'),
    },
    timeZone: file.meta.tz ?? 'UTC',
    timeMs: file.timeMs.map((ms) => ms + toMiddleMs),
    globalWm2: columnOf('ghi_w_m2'),
    directNormalWm2: columnOf('dni_w_m2'),
    diffuseWm2: columnOf('dhi_w_m2'),
  }
}

/** WMO-No. 8: sunshine is direct irradiance above this. */
export const SUNSHINE_DIRECT_WM2 = 120

export interface TrueDay {
  readonly day: LocalDay
  readonly sunHours: number
  /** minutes with both global and direct irradiance */
  readonly minutes: number
}

/** True sunshine of every local day of which the record has at least a part. */
export function trueDays(record: SunRecord): TrueDay[] {
  const days: TrueDay[] = []
  let i = 0
  const n = record.timeMs.length
  for (let date = localDate(record.timeMs[0]!, record.timeZone); i < n; date = addDays(date, 1)) {
    const day = localDay(date, record.timeZone)
    let sunny = 0
    let minutes = 0
    for (; i < n && record.timeMs[i]! < day.endMs; i++) {
      const direct = record.directNormalWm2[i]!
      if (Number.isNaN(direct) || Number.isNaN(record.globalWm2[i]!)) continue
      minutes++
      if (direct > SUNSHINE_DIRECT_WM2) sunny++
    }
    days.push({ day, sunHours: sunny / 60, minutes })
  }
  return days
}

export interface Sensor {
  /** what the sensor says over what is */
  readonly gain?: number
  readonly ceilingLx?: number
  /** smallest step, lx */
  readonly stepLx?: number
  /** every n-th minute is reported */
  readonly intervalMinutes?: number
}

const LUX_PER_WM2 = 107

/** What a level lux sensor would have reported; minutes without a measurement of both lights are left out. */
export function asLux(record: SunRecord, sensor: Sensor = {}): ReadingColumns {
  const { gain = 1, ceilingLx = Number.POSITIVE_INFINITY, stepLx = 0, intervalMinutes = 1 } = sensor
  const times: number[] = []
  const values: number[] = []
  for (let i = 0; i < record.timeMs.length; i++) {
    if (Math.floor(record.timeMs[i]! / 60_000) % intervalMinutes !== 0) continue
    const global = record.globalWm2[i]!
    if (Number.isNaN(global) || Number.isNaN(record.directNormalWm2[i]!)) continue
    const lux = Math.min(ceilingLx, Math.max(0, global * LUX_PER_WM2 * gain))
    times.push(record.timeMs[i]!)
    values.push(stepLx > 0 ? Math.round(lux / stepLx) * stepLx : lux)
  }
  return {
    timeMs: Float64Array.from(times),
    value: Float64Array.from(values),
    flags: new Uint16Array(times.length),
  }
}
