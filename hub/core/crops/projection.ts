/**
 * When a planting will reach its stages. The days to come are taken from past years of the same place: each is one way in
 * which the season may go on. Their spread gives the interval, which narrows as the season leaves less to come.
 */
import { addDays, daysBetween } from '../../../shared/local-time.js'
import type { WarmthDay } from '../heat/season-degree-days.js'
import { LONGEST_FILLED_HOLE_DAYS, sumDegreeDays } from '../heat/season-degree-days.js'
import type { Stage, StageMark } from './stages.js'

/** How often the interval is meant to hold the truth. */
export const INTERVAL_CONFIDENCE = 0.8

export interface ProjectedStage {
  readonly stage: Stage
  /** most likely date; null: not within the days to come that are known, or nothing to project from */
  readonly expectedOn: string | null
  /** the interval; null with fewer than three past years, or where too many of them end before it is reached */
  readonly earliestOn: string | null
  readonly latestOn: string | null
  /** past years that the dates rest on; 0: the pace of the last two weeks */
  readonly years: number
}

/** Fewer past years give no interval. */
const FEWEST_YEARS = 3

/**
 * Projects the stages that lie ahead.
 *
 * @param marks     of the planting (stages.ts)
 * @param doneC     degree days so far, to the end of `today`
 * @param futures   degree days of each day from tomorrow on, one sequence for each past year (yearsFrom)
 * @param recentC   degree days of each of the last days, for when there are no past years; may be empty
 */
export function projectStages(
  marks: readonly StageMark[],
  doneC: number,
  today: string,
  futures: readonly Float64Array[],
  recentC: readonly number[],
): ProjectedStage[] {
  return marks
    .filter((mark) => mark.degreeDaysC > doneC)
    .map(({ stage, degreeDaysC }) => {
      const missingC = degreeDaysC - doneC
      return futures.length === 0
        ? atRecentPace(stage, missingC, today, recentC)
        : fromPastYears(stage, missingC, today, futures)
    })
}

function fromPastYears(
  stage: Stage,
  missingC: number,
  today: string,
  futures: readonly Float64Array[],
): ProjectedStage {
  const days = futures.flatMap((future) => daysUntil(missingC, future) ?? [])
  const years = days.length
  // a stage that some years never reached has no middle to speak of
  if (years === 0 || years < futures.length * INTERVAL_CONFIDENCE) {
    return { stage, expectedOn: null, earliestOn: null, latestOn: null, years }
  }
  const mean = days.reduce((sum, n) => sum + n, 0) / years
  const on = (daysAhead: number): string => addDays(today, Math.max(1, daysAhead))
  const expectedOn = on(Math.round(mean))
  if (years < FEWEST_YEARS) return { stage, expectedOn, earliestOn: null, latestOn: null, years }
  const variance = days.reduce((sum, n) => sum + (n - mean) ** 2, 0) / (years - 1)
  // a new year spreads as the old ones do, and their mean is itself uncertain
  const half = studentT90(years - 1) * Math.sqrt(variance * (1 + 1 / years))
  return {
    stage,
    expectedOn,
    earliestOn: on(Math.round(mean - half)),
    latestOn: on(Math.round(mean + half)),
    years,
  }
}

function atRecentPace(
  stage: Stage,
  missingC: number,
  today: string,
  recentC: readonly number[],
): ProjectedStage {
  const perDay = recentC.length === 0 ? 0 : recentC.reduce((sum, c) => sum + c, 0) / recentC.length
  // slower than this and the season is over rather than slow
  const expectedOn = perDay >= 1 ? addDays(today, Math.max(1, Math.ceil(missingC / perDay))) : null
  return { stage, expectedOn, earliestOn: null, latestOn: null, years: 0 }
}

/** Days until a sum is reached, 1 for tomorrow; null: not within the sequence. */
function daysUntil(missingC: number, future: Float64Array): number | null {
  let sum = 0
  for (const [i, c] of future.entries()) {
    sum += c
    if (sum >= missingC) return i + 1
  }
  return null
}

/**
 * The days that followed the same date in past years, as degree days a day.
 *
 * A year serves if its record runs on for the whole horizon with no hole too long to fill.
 *
 * @param past     day records, ascending; holes allowed
 * @param today    sequences start the day after this date in earlier years
 * @param horizon  days
 */
export function yearsFrom(past: readonly WarmthDay[], today: string, horizon: number): Float64Array[] {
  const first = past[0]
  const last = past.at(-1)
  if (first === undefined || last === undefined) return []
  const byDate = new Map(past.map((day) => [day.date, day]))
  const futures: Float64Array[] = []
  for (let year = Number(first.date.slice(0, 4)); year < Number(today.slice(0, 4)); year++) {
    const from = addDays(sameDateIn(year, today), 1)
    const to = addDays(from, horizon - 1)
    if (from < first.date || to > last.date || to > today) continue
    // the days beside the stretch help to fill holes at its ends
    const margin = LONGEST_FILLED_HOLE_DAYS
    const days = Array.from({ length: daysBetween(from, to) + 1 + 2 * margin }, (_, i): WarmthDay => {
      const date = addDays(from, i - margin)
      return byDate.get(date) ?? { date, degreeDaysC: null, airCoverage: 0 }
    })
    const season = sumDegreeDays(days, false)
    if (season.openDays > 0) continue
    futures.push(
      Float64Array.from(
        { length: horizon },
        (_, i) => season.sumC[i + margin]! - season.sumC[i + margin - 1]!,
      ),
    )
  }
  return futures
}

const sameDateIn = (year: number, date: string): string =>
  `${year}-${date.slice(5) === '02-29' ? '02-28' : date.slice(5)}`

/** 90 % points of Student's t for 1, 2, … degrees of freedom (any table of statistics); the normal's beyond. */
const STUDENT_T_90 = [
  3.078, 1.886, 1.638, 1.533, 1.476, 1.44, 1.415, 1.397, 1.383, 1.372, 1.363, 1.356, 1.35, 1.345, 1.341,
  1.337, 1.333, 1.33, 1.328, 1.325,
]
export const studentT90 = (freedom: number): number => STUDENT_T_90[freedom - 1] ?? 1.282
