/** A climate from measured days: the garden's own past years, or one chosen year's file. */
import { daysBetween } from '../../../shared/local-time.js'
import { type Climate, climateOf, type YearOfWeather } from './climate.js'
import { soilFromAir } from './soil-from-air.js'
import { SLOTS, slotOf } from './year-slots.js'

export interface MeasuredDay {
  readonly date: string
  /** null: not measured, or for too little of the day */
  readonly minC: number | null
  readonly maxC: number | null
  /** null: taken as the middle of minimum and maximum */
  readonly meanC: number | null
  readonly soilMeanC: number | null
}

export type ClimateFromDays =
  | { readonly climate: Climate; readonly reason: null }
  | { readonly climate: null; readonly reason: 'less than a year' | 'too many holes' }

/** A year serves if no hole is longer than this: a straight line bridges it. */
const LONGEST_HOLE_DAYS = 10
/** Part of a year's days that must have soil measured for the soil to count as known. */
const SOIL_PART = 0.8

/**
 * Cuts the record into whole years, from its first day on, and leaves out those with long holes.
 *
 * @param days   ascending by date; holes allowed
 * @param basis  'chosen year': only its first whole year is used, and the words say its date
 * @throws RangeError  if dates do not ascend
 */
export function climateFromDays(
  days: readonly MeasuredDay[],
  basis: 'garden days' | 'chosen year',
): ClimateFromDays {
  const first = days[0]
  const last = days.at(-1)
  if (first === undefined || last === undefined || daysBetween(first.date, last.date) < SLOTS - 1) {
    return { climate: null, reason: 'less than a year' }
  }
  for (const [i, day] of days.entries()) {
    if (i > 0 && day.date <= days[i - 1]!.date) throw new RangeError(`dates must ascend: ${day.date}`)
  }
  // anniversaries of the first day begin the years; 365 days each, so that leap days are left to the next cut
  const runs: MeasuredDay[][] = []
  for (const day of days) {
    const run = Math.floor(daysBetween(first.date, day.date) / 365.25)
    let own = runs[run]
    if (own === undefined) {
      own = []
      runs[run] = own
    }
    own.push(day)
  }
  const whole = runs.flatMap((run) => yearFrom(run) ?? [])
  const used = basis === 'chosen year' ? whole.slice(0, 1) : whole
  if (used.length === 0) return { climate: null, reason: 'too many holes' }
  const isSoilMeasured = used.every(({ soilC }) => soilC !== null)
  const years = used.map(
    ({ soilC, ...year }): YearOfWeather => ({
      ...year,
      soilC: isSoilMeasured && soilC !== null ? soilC : soilFromAir(year.meanC),
    }),
  )
  return {
    climate: climateOf(
      basis,
      wordsOf(basis, used.length, first.date),
      years,
      isSoilMeasured ? 'measured' : 'from air',
    ),
    reason: null,
  }
}

function wordsOf(basis: 'garden days' | 'chosen year', years: number, from: string): string {
  if (basis === 'chosen year') {
    return `From the one year of weather that you chose, beginning ${from}: other years will differ, and how much it cannot say.`
  }
  if (years === 1) return `From the one year measured in this garden, since ${from}: other years will differ.`
  return `From ${years} years measured in this garden, since ${from}.`
}

interface RawYear extends Omit<YearOfWeather, 'soilC'> {
  readonly soilC: Float64Array | null
}

function yearFrom(run: readonly MeasuredDay[]): RawYear | null {
  const column = (pick: (day: MeasuredDay) => number | null): (number | null)[] => {
    const values: (number | null)[] = Array.from({ length: SLOTS }, () => null)
    for (const day of run) values[slotOf(day.date)] ??= pick(day)
    return values
  }
  const minC = bridged(column((day) => day.minC))
  const maxC = bridged(column((day) => day.maxC))
  if (minC === null || maxC === null) return null
  const middleC = (slot: number): number => (minC[slot]! + maxC[slot]!) / 2
  const measuredMeanC = column((day) => day.meanC)
  const soil = column((day) => day.soilMeanC)
  const soilDays = soil.filter((value) => value !== null).length
  return {
    minC,
    maxC,
    meanC: Float64Array.from(measuredMeanC, (value, slot) => value ?? middleC(slot)),
    soilC: soilDays >= SOIL_PART * SLOTS ? bridged(soil, SLOTS) : null,
  }
}

/** Fills holes with a straight line from the day before to the day after, round the year; null: a hole is too long. */
function bridged(values: readonly (number | null)[], longest = LONGEST_HOLE_DAYS): Float64Array | null {
  const known = values.flatMap((value, slot) => (value === null ? [] : [slot]))
  if (known.length === 0) return null
  const filled = new Float64Array(SLOTS)
  for (const [i, from] of known.entries()) {
    const next = known[(i + 1) % known.length]!
    const span = next > from ? next - from : next + SLOTS - from
    if (span - 1 > longest) return null
    const a = values[from]!
    const b = values[next]!
    for (let k = 0; k < span; k++) filled[(from + k) % SLOTS] = a + ((b - a) * k) / span
  }
  return filled
}
