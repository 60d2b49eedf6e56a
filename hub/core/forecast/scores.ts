/** Verification scores, after Wilks 2019, Statistical Methods in the Atmospheric Sciences (4th ed.), ch. 9. */

const mean = (values: readonly number[]): number | null =>
  values.length === 0 ? null : values.reduce((total, value) => total + value, 0) / values.length

export interface ErrorScores {
  /** mean absolute error, °C */
  readonly maeC: number
  /** mean of forecast less truth, °C */
  readonly biasC: number
  readonly count: number
}

export interface ForecastAndTruth {
  readonly forecastC: number
  readonly truthC: number
}

/** Mean absolute error and bias; null for no pairs. */
export function errorScores(pairs: readonly ForecastAndTruth[]): ErrorScores | null {
  const maeC = mean(pairs.map((pair) => Math.abs(pair.forecastC - pair.truthC)))
  const biasC = mean(pairs.map((pair) => pair.forecastC - pair.truthC))
  return maeC === null || biasC === null ? null : { maeC, biasC, count: pairs.length }
}

export interface ChanceAndEvent {
  /** 0 to 1 */
  readonly chance: number
  readonly happened: boolean
}

/** Brier score: mean squared difference of chance and event (0 best, 1 worst); null for no pairs. */
export const brierScore = (pairs: readonly ChanceAndEvent[]): number | null =>
  mean(pairs.map((pair) => (pair.chance - (pair.happened ? 1 : 0)) ** 2))

/** Skill against a reference: 1 perfect, 0 no better, below 0 worse; null where the reference cannot be beaten. */
export const skillScore = (score: number, reference: number): number | null =>
  reference === 0 ? null : 1 - score / reference

/** Share of intervals that hold the truth (ends included); null for none. */
export const intervalCoverage = (
  intervals: readonly { readonly lowC: number; readonly highC: number; readonly truthC: number }[],
): number | null => mean(intervals.map((one) => (one.truthC >= one.lowC && one.truthC <= one.highC ? 1 : 0)))
