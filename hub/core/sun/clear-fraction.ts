/**
 * How much of the possible sun the sky lets through, by month: from the days measured here, and from monthly normals
 * that the grower may give.
 */

/** What is needed of a measured day; day records have it. */
export interface SunnyDay {
  /** local date, YYYY-MM-DD */
  readonly date: string
  readonly sunHours: number | null
  readonly possibleSunHours: number
  /** part of the daylight that readings account for */
  readonly sunCoverage: number
}

export interface ClearFraction {
  /** January first, 0 to 1 */
  readonly byMonth: readonly (number | null)[]
  /** where each figure comes from: measured here, the grower's normals (or both), or borrowed from other months */
  readonly basis: readonly ('measured' | 'normals' | 'other months' | null)[]
  /** measured days that each figure rests on */
  readonly days: readonly number[]
}

/** Normals and other months count as much as this many measured days: the spread of cloud from day to day is wide. */
const PRIOR_DAYS = 10
/** A day with little possible sun, or little of it seen, says little about clouds. */
const LEAST_POSSIBLE_HOURS = 1
const LEAST_COVERAGE = 0.5

/**
 * Clear part of the possible sun by month, 0 to 1.
 *
 * @param days     measured days of this bed (possible hours with its skyline), or of all beds of the garden
 * @param normals  monthly sunshine relative to possible, January first, from a climate table; null where unknown
 */
export function learnClearFraction(
  days: readonly SunnyDay[],
  normals: readonly (number | null)[] = [],
): ClearFraction {
  const sun = new Array<number>(12).fill(0)
  const possible = new Array<number>(12).fill(0)
  const count = new Array<number>(12).fill(0)
  for (const { date, sunHours, possibleSunHours, sunCoverage } of days) {
    if (sunHours === null || possibleSunHours < LEAST_POSSIBLE_HOURS || sunCoverage < LEAST_COVERAGE) continue
    const month = Number(date.slice(5, 7)) - 1
    // what was not seen is taken to be like what was
    sun[month]! += Math.min(possibleSunHours, sunHours / sunCoverage)
    possible[month]! += possibleSunHours
    count[month]! += 1
  }
  const sunAll = sun.reduce((a, b) => a + b, 0)
  const possibleAll = possible.reduce((a, b) => a + b, 0)
  const overall = possibleAll > 0 ? sunAll / possibleAll : null

  const byMonth: (number | null)[] = []
  const basis: ClearFraction['basis'][number][] = []
  for (let month = 0; month < 12; month++) {
    const normal = normals[month] ?? null
    const prior = normal ?? overall
    const n = count[month]!
    if (n > 0 && prior !== null) {
      const own = sun[month]! / possible[month]!
      byMonth.push((own * n + prior * PRIOR_DAYS) / (n + PRIOR_DAYS))
      basis.push('measured')
    } else if (prior !== null) {
      byMonth.push(Math.min(1, Math.max(0, prior)))
      basis.push(normal !== null ? 'normals' : 'other months')
    } else {
      byMonth.push(null)
      basis.push(null)
    }
  }
  return { byMonth, basis, days: count }
}

/** Clear fraction on a date, straight between the middles of months; null: nothing known. */
export function clearFractionOn(fraction: ClearFraction, date: string): number | null {
  const month = Number(date.slice(5, 7)) - 1
  const position = (Number(date.slice(8, 10)) - 15.5) / 30.5
  const other = (month + (position < 0 ? 11 : 1)) % 12
  const here = fraction.byMonth[month] ?? null
  const there = fraction.byMonth[other] ?? null
  if (here === null || there === null) return here
  return here + (there - here) * Math.abs(position)
}
