/** Which readings a day record rests on, and so which days a reading touches. Pure. */
import { addDays, localDate } from '../../shared/local-time.js'
import { contextMs } from '../core/quality/context-checks.js'
import type { Reading } from '../store/port.js'
import type { StoredPlacement } from './port.js'

const HOUR_MS = 3_600_000

/** Quantities of a day record, in the order of DayReadings, with how far beyond the day their readings are given. */
export const DAY_QUANTITIES = [
  // the double methods of degree days look for tomorrow's minimum
  { quantity: 'air-temp', windowMs: 26 * HOUR_MS },
  { quantity: 'soil-temp', windowMs: 3 * HOUR_MS },
  // where a light sensor's ceiling lies shows in the brightest hours around
  { quantity: 'light', windowMs: 17 * HOUR_MS },
  { quantity: 'irradiance', windowMs: 17 * HOUR_MS },
] as const

/** How far from a day a reading can still bear on its record: through the window, and the flags in it. */
const INFLUENCE_MS: ReadonlyMap<string, number> = new Map(
  DAY_QUANTITIES.map(({ quantity, windowMs }) => [quantity, windowMs + contextMs(quantity)]),
)

/** A node may hold readings back this long and still count as being on time. */
const ON_TIME_MS = HOUR_MS

/** Age of a day's end from which readings that come in on time no longer touch it: its record may be kept. */
export const SETTLED_MS = Math.max(...INFLUENCE_MS.values()) + ON_TIME_MS

/** How far back a reading reaches, ms; null: no day record uses its quantity. */
export const influenceMs = (quantity: string): number | null => INFLUENCE_MS.get(quantity) ?? null

/** Local dates of a bed, both included. */
export interface TouchedDays {
  readonly bed: string
  readonly fromDate: string
  readonly toDate: string
}

/**
 * Days whose records rest on the given readings, by bed.
 *
 * @param readings    of one garden
 * @param placements  of that garden
 */
export function touchedDays(
  readings: readonly Reading[],
  placements: readonly StoredPlacement[],
  timeZone: string,
): TouchedDays[] {
  const dates = new Map<string, Set<string>>()
  for (const { node, fromMs, toMs } of reaches(readings)) {
    for (const p of placements) {
      if (p.node !== node || p.fromMs > toMs || (p.toMs !== null && p.toMs <= fromMs)) continue
      const ofBed = dates.get(p.bed) ?? new Set<string>()
      dates.set(p.bed, ofBed)
      const last = localDate(toMs, timeZone)
      for (let date = localDate(fromMs, timeZone); date <= last; date = addDays(date, 1)) ofBed.add(date)
    }
  }
  return [...dates].flatMap(([bed, ofBed]) => runs([...ofBed].sort()).map((run) => ({ bed, ...run })))
}

/** Stretches of time within which readings bear on a record, by node; those of one series joined where they meet. */
function reaches(readings: readonly Reading[]): { node: string; fromMs: number; toMs: number }[] {
  const series = new Map<string, { node: string; reach: number; timesMs: number[] }>()
  for (const { node, quantity, timeMs } of readings) {
    const reach = influenceMs(quantity)
    if (reach === null) continue
    const of = series.get(`${node}/${quantity}`) ?? { node, reach, timesMs: [] }
    of.timesMs.push(timeMs)
    series.set(`${node}/${quantity}`, of)
  }
  const found: { node: string; fromMs: number; toMs: number }[] = []
  for (const { node, reach, timesMs } of series.values()) {
    timesMs.sort((a, b) => a - b)
    let last: { node: string; fromMs: number; toMs: number } | null = null
    for (const timeMs of timesMs) {
      if (last && timeMs - reach <= last.toMs) last.toMs = timeMs + reach
      else {
        last = { node, fromMs: timeMs - reach, toMs: timeMs + reach }
        found.push(last)
      }
    }
  }
  return found
}

/** Joins neighbouring dates. */
function runs(dates: readonly string[]): { fromDate: string; toDate: string }[] {
  const found: { fromDate: string; toDate: string }[] = []
  for (const date of dates) {
    const last = found.at(-1)
    if (last && addDays(last.toDate, 1) === date) last.toDate = date
    else found.push({ fromDate: date, toDate: date })
  }
  return found
}
