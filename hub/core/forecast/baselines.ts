/**
 * What a forecast has to beat: "as today" and "as usual at this time of year", the second counted from past years of
 * the same record, never from later ones.
 */
export interface Climatology {
  /** mean of the days counted, °C */
  readonly meanC: number
  /** share of them above the threshold, 0 to 1 */
  readonly shareAbove: number
  readonly days: number
}

const DAYS_PER_YEAR = 365.2425
/** Days either side of the calendar day that count as the same time of year. */
const HALF_WINDOW_DAYS = 15
/** Fewer than this say nothing. */
const FEWEST_DAYS = 15

/**
 * The days within 15 of the same calendar day in earlier years, up to and including `lastKnown`.
 *
 * @param valueC  one value a day without holes in time; NaN: not measured
 * @param target  index of the day in question
 * @returns null where fewer than 15 days can be counted
 */
export function pastYearsClimatology(
  valueC: Float64Array,
  target: number,
  lastKnown: number,
  thresholdC: number,
): Climatology | null {
  let sum = 0
  let above = 0
  let days = 0
  for (let years = 1; target - years * DAYS_PER_YEAR > -HALF_WINDOW_DAYS; years++) {
    const centre = Math.round(target - years * DAYS_PER_YEAR)
    const from = Math.max(centre - HALF_WINDOW_DAYS, 0)
    const to = Math.min(centre + HALF_WINDOW_DAYS, lastKnown)
    for (let i = from; i <= to; i++) {
      const value = valueC[i]!
      if (!Number.isFinite(value)) continue
      days++
      sum += value
      if (value > thresholdC) above++
    }
  }
  return days < FEWEST_DAYS ? null : { meanC: sum / days, shareAbove: above / days, days }
}
