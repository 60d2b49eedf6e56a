/** Odds under a normal distribution, optionally bounded by what has been measured already. */

/** A temperature to come, as a distribution. */
export interface TemperatureOdds {
  /** middle of the normal distribution, °C */
  readonly meanC: number
  /** its standard deviation, °C (0: known) */
  readonly sdC: number
  /** the truth cannot be lower: the running day's maximum so far; null: no such bound */
  readonly atLeastC: number | null
  /** the truth cannot be higher: the running day's minimum so far */
  readonly atMostC: number | null
}

/** Standard normal quantile of 0.9: half the width of an 80 % interval, in standard deviations. */
export const HALF_WIDTH_80 = 1.281551565545

/**
 * Standard normal distribution function. Absolute error below 1.5e-7.
 * Source: Abramowitz & Stegun 1964, Handbook of Mathematical Functions, 7.1.26.
 */
export function normalCdf(z: number): number {
  const x = Math.abs(z) / Math.SQRT2
  const t = 1 / (1 + 0.3275911 * x)
  const poly =
    t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))))
  const upperTail = 0.5 * poly * Math.exp(-x * x)
  return z >= 0 ? 1 - upperTail : upperTail
}

/**
 * Standard normal quantile, by bisection on normalCdf: slower than a rational approximation, but exactly its inverse.
 *
 * @param probability  strictly between 0 and 1
 * @throws RangeError  otherwise
 */
export function normalQuantile(probability: number): number {
  if (!(probability > 0 && probability < 1)) {
    throw new RangeError(`a probability strictly between 0 and 1 is needed, not ${probability}`)
  }
  let low = -9
  let high = 9
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2
    if (normalCdf(middle) < probability) low = middle
    else high = middle
  }
  return (low + high) / 2
}

const bounded = (valueC: number, odds: TemperatureOdds): number => {
  const raised = odds.atLeastC === null ? valueC : Math.max(valueC, odds.atLeastC)
  return odds.atMostC === null ? raised : Math.min(raised, odds.atMostC)
}

/** The value that the truth stays below with this probability, °C. */
export function quantileC(odds: TemperatureOdds, probability: number): number {
  return bounded(odds.meanC + odds.sdC * normalQuantile(probability), odds)
}

/** Probability, 0 to 1, that the truth is above a threshold (equal is not above). */
export function chanceAbove(odds: TemperatureOdds, thresholdC: number): number {
  if (odds.atLeastC !== null && odds.atLeastC > thresholdC) return 1
  if (odds.atMostC !== null && odds.atMostC <= thresholdC) return 0
  if (odds.sdC === 0) return odds.meanC > thresholdC ? 1 : 0
  return normalCdf((odds.meanC - thresholdC) / odds.sdC)
}

/** Probability, 0 to 1, that the truth is below a threshold: frost, for one. */
export function chanceBelow(odds: TemperatureOdds, thresholdC: number): number {
  if (odds.atMostC !== null && odds.atMostC < thresholdC) return 1
  if (odds.atLeastC !== null && odds.atLeastC >= thresholdC) return 0
  if (odds.sdC === 0) return odds.meanC < thresholdC ? 1 : 0
  return normalCdf((thresholdC - odds.meanC) / odds.sdC)
}

/** The middle value and the ends of the 80 % interval, °C. */
export function interval80(odds: TemperatureOdds): { lowC: number; middleC: number; highC: number } {
  return {
    lowC: bounded(odds.meanC - HALF_WIDTH_80 * odds.sdC, odds),
    middleC: bounded(odds.meanC, odds),
    highC: bounded(odds.meanC + HALF_WIDTH_80 * odds.sdC, odds),
  }
}
