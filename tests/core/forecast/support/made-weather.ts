/** Made weather with a known law, for tests that must run without measured data: seeded, so every run is alike. */
import type { MeasuredDay } from '../../../../hub/core/forecast/local-learning.js'
import { addDays } from '../../../../shared/local-time.js'

/** Uniform numbers from 0 to 1. Source: Park & Miller 1988, Comm. ACM 31:1192 (minimal standard generator). */
export function seededNumbers(seed: number): () => number {
  let state = seed % 2_147_483_647 || 1
  return () => {
    state = (state * 48_271) % 2_147_483_647
    return state / 2_147_483_647
  }
}

/** Standard normal numbers (Box & Muller 1958). */
export function seededNormals(seed: number): () => number {
  const uniform = seededNumbers(seed)
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform())
}

export interface MadeClimate {
  readonly yearMeanC: number
  /** up and down over the year, °C */
  readonly swingC: number
  /** warmest day of the year */
  readonly warmestDay: number
  /** standard deviation of days around the usual, °C */
  readonly scatterC: number
  /** lag-1 autocorrelation of days */
  readonly persistence: number
}

export const INLAND: MadeClimate = {
  yearMeanC: 11,
  swingC: 11,
  warmestDay: 200,
  scatterC: 4.5,
  persistence: 0.7,
}

export const madeUsualC = (climate: MadeClimate, dayOfRecord: number): number =>
  climate.yearMeanC + climate.swingC * Math.cos((2 * Math.PI * (dayOfRecord - climate.warmestDay)) / 365.2425)

/** Days from 1 January 2020: a first-order autoregression around an annual wave, daily range 6 to 14 °C. */
export function madeDays(climate: MadeClimate, count: number, seed: number): MeasuredDay[] {
  const normal = seededNormals(seed)
  const uniform = seededNumbers(seed + 1)
  let anomalyC = climate.scatterC * normal()
  return Array.from({ length: count }, (_, i) => {
    anomalyC =
      climate.persistence * anomalyC + climate.scatterC * Math.sqrt(1 - climate.persistence ** 2) * normal()
    const middleC = madeUsualC(climate, i) + anomalyC
    const halfRangeC = 3 + 4 * uniform()
    return {
      date: addDays('2020-01-01', i),
      minC: middleC - halfRangeC,
      maxC: middleC + halfRangeC,
      eveningC: null,
    }
  })
}
