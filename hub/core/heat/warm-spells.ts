/**
 * Runs of warm days. A spell is a run of consecutive days whose maximum lies above a threshold; what differs between
 * definitions is the threshold and the shortest run.
 *
 * Gardens begin with fixed thresholds (a crop's limit). Thresholds from the place's own past need years of it:
 * - warm spell days (WSDI, ETCCDI): six days or more above the 90th percentile of a five-day window around the date
 * - heat wave (CTX90pct, Perkins & Alexander 2013, J. Climate 26:4500): three days above that of a fifteen-day window
 * - heat wave duration (HWDI, Frich et al. 2002): six days or more 5 °C above the mean of a five-day window
 */
import { addDays, daysBetween } from '../../../shared/local-time.js'

export interface MaximumDay {
  readonly date: string
  /** null: not known; such a day ends a run */
  readonly maxC: number | null
}

export interface WarmSpell {
  readonly fromDate: string
  /** last warm day, included */
  readonly toDate: string
  readonly days: number
  readonly highestC: number
  /** sum over its days of how far the maximum lay above the threshold, °C·d */
  readonly excessC: number
}

/** Threshold of a date, °C; null: none is known for it, and the day ends a run. */
export type Threshold = (date: string) => number | null

export const fixedThreshold =
  (aboveC: number): Threshold =>
  () =>
    aboveC

/**
 * All spells in a record.
 *
 * @param days     ascending by date; a missing date ends a run
 * @param minDays  shortest run that counts, 1 or more
 */
export function warmSpells(days: readonly MaximumDay[], threshold: Threshold, minDays: number): WarmSpell[] {
  if (!Number.isInteger(minDays) || minDays < 1) {
    throw new RangeError(`a spell has a whole number of days from 1 on, got ${minDays}`)
  }
  const runs: WarmSpell[] = []
  for (const { date, maxC } of days) {
    const limitC = threshold(date)
    if (maxC === null || limitC === null || maxC <= limitC) continue
    const excessC = maxC - limitC
    const run = runs.at(-1)
    if (run !== undefined && addDays(run.toDate, 1) === date) {
      runs[runs.length - 1] = {
        ...run,
        toDate: date,
        days: run.days + 1,
        highestC: Math.max(run.highestC, maxC),
        excessC: run.excessC + excessC,
      }
    } else {
      runs.push({ fromDate: date, toDate: date, days: 1, highestC: maxC, excessC })
    }
  }
  return runs.filter((run) => run.days >= minDays)
}

/** Fewer values than this in a date's window of the past are no ground for a threshold. */
const FEWEST_IN_WINDOW = 15

/**
 * Threshold from the past of the place: a percentile of the maxima on dates within a window around the date, all years.
 *
 * @param past        days to learn from; must not hold the days to be judged
 * @param percentile  0 to 100; linear between ranks
 * @param windowDays  odd: 5 or 15
 */
export function percentileThreshold(
  past: readonly MaximumDay[],
  percentile: number,
  windowDays: number,
): Threshold {
  return fromWindow(past, windowDays, (values) => {
    values.sort((a, b) => a - b)
    const rank = (percentile / 100) * (values.length - 1)
    const lower = values[Math.floor(rank)]!
    return lower + (rank % 1) * ((values[Math.ceil(rank)] ?? lower) - lower)
  })
}

/** Threshold from the past of the place: the mean of the maxima in a window around the date, all years, plus so much. */
export function meanThreshold(
  past: readonly MaximumDay[],
  aboveMeanC: number,
  windowDays: number,
): Threshold {
  return fromWindow(
    past,
    windowDays,
    (values) => values.reduce((sum, value) => sum + value, 0) / values.length + aboveMeanC,
  )
}

function fromWindow(
  past: readonly MaximumDay[],
  windowDays: number,
  figure: (values: number[]) => number,
): Threshold {
  if (!Number.isInteger(windowDays) || windowDays % 2 !== 1 || windowDays < 1) {
    throw new RangeError(`a window around a date has an odd number of days, got ${windowDays}`)
  }
  const half = (windowDays - 1) / 2
  const byPlace = new Map<number, number[]>()
  for (const { date, maxC } of past) {
    if (maxC === null) continue
    const place = placeInYear(date)
    const values = byPlace.get(place)
    if (values) values.push(maxC)
    else byPlace.set(place, [maxC])
  }
  const known = new Map<number, number | null>()
  return (date) => {
    const place = placeInYear(date)
    const found = known.get(place)
    if (found !== undefined) return found
    const values: number[] = []
    for (let k = -half; k <= half; k++) values.push(...(byPlace.get((place + k + YEAR) % YEAR) ?? []))
    const limitC = values.length < FEWEST_IN_WINDOW ? null : figure(values)
    known.set(place, limitC)
    return limitC
  }
}

const YEAR = 365

/** Day of a year of 365 days, 0 to 364; 29 February shares the place of 28 February. */
function placeInYear(date: string): number {
  const monthAndDay = date.slice(5) === '02-29' ? '02-28' : date.slice(5)
  return daysBetween('2001-01-01', `2001-${monthAndDay}`)
}
