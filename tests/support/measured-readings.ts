/** Measured weather as the hub would hold it: columns of a quantity with its quality flags, by interval start. */
import { arrivalFlags } from '../../hub/core/quality/arrival-checks.js'
import { contextFlags } from '../../hub/core/quality/context-checks.js'
import { NO_READINGS, type Place, type ReadingColumns } from '../../hub/core/readings.js'
import { type LocalDay, localDay } from '../../shared/local-time.js'
import { type LoadedTidy, loadTidy } from './reference-data.js'

/** Every file with readings finer than a day, as folder/name without ending. */
export const SUBDAILY_FILES = [
  'dtu-lyngby-1min/dtu_2016_05',
  'dtu-lyngby-1min/dtu_2017_06',
  'dtu-lyngby-1min/dtu_2018_08',
  'surfrad-alamosa-1min/surfrad-slv16001',
  'tharandt-30min/tharandt-1998',
  'us-crt-30min/us-crt-2011-01',
  'sml2010-15min/sml2010-1',
  'winters-hourly/winters-2008',
  'tuebingen-lux-30s/roof-lux',
] as const
export type SubdailyFile = (typeof SUBDAILY_FILES)[number]

export async function loadSubdaily(file: SubdailyFile): Promise<LoadedTidy> {
  const gzipped = file !== 'us-crt-30min/us-crt-2011-01'
  return loadTidy(`${file}.tidy.csv${gzipped ? '.gz' : ''}`)
}

/**
 * Readings of a column. A row that covers an interval and is stamped at its end is moved to its start, as the truth
 * tables have it.
 */
export function readingsOf(tidy: LoadedTidy, column: string, quantity: string): ReadingColumns {
  const cells = tidy.columns[column]
  if (!cells) return NO_READINGS
  const shiftMs = tidy.meta.stamp === 'end' ? Number(tidy.meta.step_seconds) * 1000 : 0
  const present = [...cells.keys()].filter((i) => Number.isFinite(cells[i]!))
  const timeMs = Float64Array.from(present, (i) => tidy.timeMs[i]! - shiftMs)
  const value = Float64Array.from(present, (i) => cells[i]!)
  const flags = Uint16Array.from(present, (_, k) =>
    arrivalFlags(quantity, value[k]!, timeMs[k]!, timeMs[k]!, Number.POSITIVE_INFINITY),
  )
  return { timeMs, value, flags: contextFlags(quantity, { timeMs, value, flags }) }
}

/** The part of a series from one instant to another. */
export function between(readings: ReadingColumns, fromMs: number, toMs: number): ReadingColumns {
  const first = readings.timeMs.findIndex((t) => t >= fromMs)
  const after = readings.timeMs.findIndex((t) => t >= toMs)
  const from = first === -1 ? readings.timeMs.length : first
  const to = after === -1 ? readings.timeMs.length : after
  return {
    timeMs: readings.timeMs.subarray(from, to),
    value: readings.value.subarray(from, to),
    flags: readings.flags.subarray(from, to),
  }
}

export const placeOf = ({ meta }: LoadedTidy): Place => ({
  latitudeDeg: Number(meta.lat),
  longitudeDeg: Number(meta.lon),
  elevationM: Number(meta.elevation_m ?? 0),
})

/** A day on one of the two bases of the truth tables: the zone's calendar, or a fixed offset from UTC. */
export function dayOn(basis: string, date: string, { meta }: LoadedTidy): LocalDay {
  if (basis === 'civil') return localDay(date, meta.tz!)
  const [, sign, hours, minutes] = /^([+-])(\d\d):(\d\d)$/.exec(meta.utc_offset_standard!)!
  const offsetMs = (sign === '-' ? -1 : 1) * (Number(hours) * 60 + Number(minutes)) * 60_000
  const startMs = Date.parse(`${date}T00:00:00Z`) - offsetMs
  return { date, startMs, endMs: startMs + 86_400_000 }
}
