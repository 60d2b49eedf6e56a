/** Which readings a day record rests on, and so which days a reading touches. Pure. */
import { localDate } from '../../shared/local-time.js'
import { contextMs } from '../core/quality/context-checks.js'
import type { Reading } from '../store/port.js'
import type { StoredPlacement } from './port.js'

const HOUR_MS = 3_600_000

/** Where a light sensor's ceiling lies shows in the brightest hours around. */
export const LIGHT_WINDOW_MS = 17 * HOUR_MS

/** Quantities of a day record, in the order of DayReadings, with how far beyond the day their readings are given. */
export const DAY_QUANTITIES = [
  // the double methods of degree days look for tomorrow's minimum
  { quantity: 'air-temp', windowMs: 26 * HOUR_MS },
  { quantity: 'soil-temp', windowMs: 3 * HOUR_MS },
  { quantity: 'light', windowMs: LIGHT_WINDOW_MS },
  { quantity: 'irradiance', windowMs: LIGHT_WINDOW_MS },
] as const

/** How far from a day a reading can still bear on its record: through the window, and the flags in it. */
const INFLUENCE_MS: ReadonlyMap<string, number> = new Map(
  DAY_QUANTITIES.map(({ quantity, windowMs }) => [quantity, windowMs + contextMs(quantity)]),
)

/** How far from a light reading another can still bear on its flags. */
export const LIGHT_FLAGS_REACH_MS = Math.max(contextMs('light'), contextMs('irradiance'))

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

/** More stretches than this are forgotten as one: what is forgotten too much is only computed again. */
const MOST_STRETCHES = 50

/** Dates are written with four digits of year. A clock may say anything. */
const FIRST_DATE_MS = Date.parse('0001-01-01T00:00:00Z')
const LAST_DATE_MS = Date.parse('9999-12-30T00:00:00Z')
const onCalendar = (timeMs: number): number => Math.min(LAST_DATE_MS, Math.max(FIRST_DATE_MS, timeMs))

interface Stretch {
  readonly fromMs: number
  readonly toMs: number
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
  const byBed = new Map<string, Stretch[]>()
  for (const [node, stretches] of reaches(readings)) {
    for (const p of placements) {
      if (p.node !== node) continue
      const ofBed = byBed.get(p.bed) ?? []
      byBed.set(p.bed, ofBed)
      // one by one: a pack may hold ten thousand
      for (const s of stretches) {
        if (p.fromMs <= s.toMs && (p.toMs === null || p.toMs > s.fromMs)) ofBed.push(s)
      }
    }
  }
  return [...byBed].flatMap(([bed, stretches]) =>
    few(joined(stretches)).map(({ fromMs, toMs }) => ({
      bed,
      fromDate: localDate(fromMs, timeZone),
      toDate: localDate(toMs, timeZone),
    })),
  )
}

/** Stretches of time within which readings bear on a record, by node. */
function reaches(readings: readonly Reading[]): Map<string, Stretch[]> {
  const byNode = new Map<string, Stretch[]>()
  for (const { node, quantity, timeMs } of readings) {
    const reach = influenceMs(quantity)
    if (reach === null) continue
    const ofNode = byNode.get(node) ?? []
    byNode.set(node, ofNode)
    ofNode.push({ fromMs: onCalendar(timeMs - reach), toMs: onCalendar(timeMs + reach) })
  }
  return new Map([...byNode].map(([node, stretches]) => [node, joined(stretches)]))
}

/** Stretches that overlap become one; ascending. */
function joined(stretches: readonly Stretch[]): Stretch[] {
  const found: Stretch[] = []
  for (const stretch of [...stretches].sort((a, b) => a.fromMs - b.fromMs)) {
    const last = found.at(-1)
    if (last && stretch.fromMs <= last.toMs) {
      found[found.length - 1] = { fromMs: last.fromMs, toMs: Math.max(last.toMs, stretch.toMs) }
    } else found.push(stretch)
  }
  return found
}

/** @param stretches  ascending */
const few = (stretches: readonly Stretch[]): readonly Stretch[] =>
  stretches.length <= MOST_STRETCHES
    ? stretches
    : [{ fromMs: stretches[0]!.fromMs, toMs: stretches.at(-1)!.toMs }]
