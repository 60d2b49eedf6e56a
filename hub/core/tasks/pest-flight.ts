/**
 * When pests fly in this garden: degree days above the pest's base since the day its table counts from, and how they are
 * likely to go on. The tables were made from daily minima and maxima; so are the sums here (single sine, no upper limit).
 */
import { addDays, daysBetween } from '../../../shared/local-time.js'
import { usualOn } from '../crops/normal-futures.js'
import { studentT90 } from '../crops/projection.js'
import type { MonthlyNormals } from '../forecast/seasonal-cycle.js'
import { dailyDegreeDays } from '../heat/degree-days.js'
import type { WarmthDay } from '../heat/season-degree-days.js'
import { COMPLETE_COVERAGE } from '../quality/completeness.js'
import { celsius } from '../words.js'
import { type Brood, COUNT_FROM, COUNT_FROM_SOUTH, type Pest } from './pest-table.js'

export interface AirDay {
  readonly date: string
  /** null: not measured */
  readonly minC: number | null
  readonly maxC: number | null
  readonly coverage: number
}

/** How the days to come may go on: one sequence of degree days, from tomorrow on, for each way. */
export interface Futures {
  readonly sequences: readonly Float64Array[]
  /** "the 4 past years measured in this garden" */
  readonly words: string
}

export interface PestFlight {
  readonly pest: Pest
  /** which of the pest's broods, 0 for the first of the year */
  readonly brood: number
  /** degree days are counted from this date on */
  readonly countedFrom: string
  /** so far; 0 in a season that has not begun */
  readonly doneC: number
  /** days that were not measured and taken from the usual temperatures, until it was reached */
  readonly usualDays: number
  /** days that could not be filled: the sum is a lower bound */
  readonly openDays: number
  /** null: not yet, or not known */
  readonly reachedOn: string | null
  readonly expectedOn: string | null
  /** eight times in ten between these; null: nothing to tell it from */
  readonly earliestOn: string | null
  readonly latestOn: string | null
  /** what it rests on */
  readonly words: string
}

export const airWarmth = (minC: number, maxC: number, baseC: number): number =>
  dailyDegreeDays('sine', minC, Math.max(minC, maxC), null, {
    baseC,
    upperC: Number.POSITIVE_INFINITY,
    cutoff: 'none',
  })

/** Days as the sums of seasons take them, in degree days above a pest's base. */
export const warmthAbove = (days: readonly AirDay[], baseC: number): WarmthDay[] =>
  days.map(({ date, minC, maxC, coverage }) => ({
    date,
    degreeDaysC: minC === null || maxC === null ? null : airWarmth(minC, maxC, baseC),
    airCoverage: coverage,
  }))

/** The date that the tables count from, of the season that holds a date. */
export function seasonStart(date: string, latitudeDeg: number): string {
  const monthDay = latitudeDeg < 0 ? COUNT_FROM_SOUTH.value : COUNT_FROM.value
  const year = Number(date.slice(0, 4)) - (date.slice(5) < monthDay ? 1 : 0)
  return `${year}-${monthDay}`
}

export const nextSeasonStart = (start: string): string => `${Number(start.slice(0, 4)) + 1}${start.slice(4)}`

export interface FlightInput {
  readonly pest: Pest
  /** one of the pest's broods, 0 for the first of the year */
  readonly brood: number
  /** seasonStart, or the next one */
  readonly countedFrom: string
  readonly today: string
  /** from countedFrom to today, without holes; today is not over and counts for nothing yet. Empty: it lies ahead */
  readonly days: readonly AirDay[]
  readonly futures: Futures
  /** fills in days that were not measured; null: none are known */
  readonly normals: MonthlyNormals | null
}

/** More days than these not measured, and no date is told. */
const MOST_OPEN_DAYS = 3
/** Fewer ways of going on give no interval. */
const FEWEST = 3

/** @throws RangeError  the pest has no such brood */
export function broodOf({ pest, brood }: Pick<PestFlight, 'pest' | 'brood'>): Brood {
  const found = pest.broods[brood]
  if (!found) throw new RangeError(`no brood ${brood} of ${pest.id}`)
  return found
}

/** @throws RangeError  the pest has no such brood */
export function pestFlight(input: FlightInput): PestFlight {
  const { pest, brood, countedFrom, today, futures } = input
  const { flightC } = broodOf(input)
  const sum = sumSoFar(input)
  const { doneC, usualDays, openDays, reachedOn } = sum
  const common = { pest, brood, countedFrom, doneC, usualDays, openDays }
  const none = { expectedOn: null, earliestOn: null, latestOn: null }
  if (reachedOn !== null) return { ...common, ...none, reachedOn, words: wordsOf(input, sum, '') }
  if (openDays > MOST_OPEN_DAYS) {
    const words = `On ${openDays} days since ${countedFrom} no air temperature was measured, so their degree days are not known. Type in your region’s usual temperatures to have them filled in.`
    return { ...common, ...none, reachedOn: null, words }
  }
  const skip = Math.max(0, daysBetween(today, countedFrom) - 1)
  // a brood that the year is too cool for does not fly in the next one instead
  const left = daysBetween(today, nextSeasonStart(countedFrom)) - 1
  const missingC = flightC.value - doneC
  const days = futures.sequences.flatMap(
    (sequence) => daysUntil(missingC, sequence.subarray(0, left), skip) ?? [],
  )
  const isKnown = days.length > 0 && days.length >= 0.8 * futures.sequences.length
  return {
    ...common,
    reachedOn: null,
    ...(isKnown ? spreadOf(days, today) : none),
    words: wordsOf(input, sum, futures.words),
  }
}

function sumSoFar({ pest, brood, days, today, normals }: FlightInput): {
  doneC: number
  usualDays: number
  openDays: number
  reachedOn: string | null
} {
  const baseC = pest.baseC.value
  const flightC = broodOf({ pest, brood }).flightC.value
  let doneC = 0
  let usualDays = 0
  let openDays = 0
  let reachedOn: string | null = null
  for (const { date, minC, maxC, coverage } of days) {
    if (date >= today) break
    if (minC !== null && maxC !== null && coverage >= COMPLETE_COVERAGE) doneC += airWarmth(minC, maxC, baseC)
    else if (normals !== null) {
      doneC += airWarmth(usualOn(normals.minC, date), usualOn(normals.maxC, date), baseC)
      if (reachedOn === null) usualDays++
    } else if (reachedOn === null) openDays++
    if (reachedOn === null && doneC >= flightC) reachedOn = date
  }
  return { doneC, usualDays, openDays, reachedOn }
}

/** Days until a sum is reached, 1 for tomorrow; null: not within the sequence. */
function daysUntil(missingC: number, sequence: Float64Array, skip: number): number | null {
  let sum = 0
  for (let i = skip; i < sequence.length; i++) {
    sum += sequence[i]!
    if (sum >= missingC) return i + 1
  }
  return null
}

function spreadOf(
  days: readonly number[],
  today: string,
): Pick<PestFlight, 'expectedOn' | 'earliestOn' | 'latestOn'> {
  const n = days.length
  const mean = days.reduce((sum, day) => sum + day, 0) / n
  const on = (ahead: number): string => addDays(today, Math.max(1, Math.round(ahead)))
  if (n < FEWEST) return { expectedOn: on(mean), earliestOn: null, latestOn: null }
  const variance = days.reduce((sum, day) => sum + (day - mean) ** 2, 0) / (n - 1)
  // a new year spreads as the old ones do, and their mean is itself uncertain
  const half = studentT90(n - 1) * Math.sqrt(variance * (1 + 1 / n))
  return { expectedOn: on(mean), earliestOn: on(mean - half), latestOn: on(mean + half) }
}

const whole = (value: number): string => String(Math.round(value))

function wordsOf(
  { pest, brood, countedFrom }: FlightInput,
  { doneC, usualDays, openDays, reachedOn }: ReturnType<typeof sumSoFar>,
  futureWords: string,
): string {
  const { baseC } = pest
  const { flightC } = broodOf({ pest, brood })
  const filled =
    usualDays > 0
      ? `, ${usualDays} days of them taken from the usual temperatures you typed in`
      : openDays > 0
        ? `, at least: ${openDays} days were not measured`
        : ''
  const sooner = openDays > 0 ? `, or sooner: ${openDays} days before were not measured` : filled
  const reached = `Counted from ${countedFrom} above ${celsius(baseC.value)}, ${whole(flightC.value)} °C·d were reached then${sooner} (${flightC.note}).`
  if (reachedOn !== null) return reached
  const counted = `Counted from ${countedFrom} above ${celsius(baseC.value)}: ${whole(doneC)} of ${whole(flightC.value)} °C·d so far${filled} (${flightC.note}).`
  return futureWords === '' ? counted : `${counted} The days to come are taken from ${futureWords}.`
}
