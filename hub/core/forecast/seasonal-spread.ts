/**
 * How large errors are at each time of the year: mean squares by half-month, smoothed over the season, resting on the
 * whole year's where a season has been seen little, and on a first belief where nothing has.
 */
import { yearPhase } from './seasonal-cycle.js'

export interface SeasonalSpread {
  /** variance believed beforehand, °C² */
  readonly believed: number
  /** by half-month: sum of squared errors, °C² */
  readonly squares: readonly number[]
  /** by half-month: how many */
  readonly counts: readonly number[]
}

const CLASSES = 24
/** The first belief weighs as much as ten days … */
const BELIEF_DAYS = 10
/** … and the whole year's spread as ten days of the season in question. */
const YEAR_DAYS = 10
/** A season: standard deviation of the smoothing weights, in half-months (25 days; 12 to 40 tried: no matter). */
const SEASON_CLASSES = 25 / (365.2425 / CLASSES)

export const seasonalSpread = (believed: number): SeasonalSpread => ({
  believed,
  squares: new Array<number>(CLASSES).fill(0),
  counts: new Array<number>(CLASSES).fill(0),
})

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0)

/** Variance to expect on a day, °C². */
export function spreadOn(spread: SeasonalSpread, day: number): number {
  const position = yearPhase(day) * CLASSES
  const wholeYear = (BELIEF_DAYS * spread.believed + sum(spread.squares)) / (BELIEF_DAYS + sum(spread.counts))
  let squares = YEAR_DAYS * wholeYear
  let count = YEAR_DAYS
  for (let i = 0; i < CLASSES; i++) {
    const straight = Math.abs(position - (i + 0.5))
    const distance = Math.min(straight, CLASSES - straight) / SEASON_CLASSES
    const weight = Math.exp(-0.5 * distance * distance)
    squares += weight * spread.squares[i]!
    count += weight * spread.counts[i]!
  }
  return squares / count
}

/** The spread after one more error. */
export function spreadWithError(spread: SeasonalSpread, day: number, errorC: number): SeasonalSpread {
  const at = Math.min(Math.floor(yearPhase(day) * CLASSES), CLASSES - 1)
  return {
    believed: spread.believed,
    squares: spread.squares.with(at, spread.squares[at]! + errorC * errorC),
    counts: spread.counts.with(at, spread.counts[at]! + 1),
  }
}
