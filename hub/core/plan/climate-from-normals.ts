/**
 * A climate from twelve monthly normals. Normals alone know no warm spell and no late frost, so days that stray from them are
 * added: made up, always the same for the same normals, and in pairs (one as far above as the other is below) so that
 * their mean is the normal itself.
 */

import { usualOn } from '../crops/normal-futures.js'
import type { MonthlyNormals } from '../forecast/seasonal-cycle.js'
import { type Climate, climateOf, type YearOfWeather } from './climate.js'
import { soilFromAir } from './soil-from-air.js'
import { dateAt, SLOTS } from './year-slots.js'

/** Pairs of made-up years. */
const PAIRS = 10
/**
 * How far a day's mean strays from the usual (standard deviation), as a part of the year's swing from the coldest to the
 * warmest month: 5.1 °C at 27 °C of swing (Manhattan, Kansas, 2003 to 2017), 2.8 °C at 15 °C (Seattle, 2012 to 2015).
 */
const STRAY_PART = 0.19
const LEAST_STRAY_C = 2
/** Winter days stray further than summer days inland (6.5 and 3.5 °C in Kansas), by the coast alike. A middle course. */
const WINTER_MORE = 0.15
/**
 * A warm day is a clear one: its maximum strays further than its mean, its minimum less. Of the two records above the maximum by
 * 1.1 to 1.5 times in summer.
 */
const MAX_MORE = 1.25
/** A day goes with the day before: 0.68 in Kansas, 0.75 in Seattle. */
const PERSISTENCE = 0.7
const WARM_UP_DAYS = 60
const LEAP_FREE_YEAR = 2027

/**
 * @param normals  usual daily minimum and maximum of each month, January first, °C
 * @param soilC    usual soil temperature of each month where it is known, °C
 * @param source   where the grower has them from; null: not said
 * @throws RangeError  not twelve finite values, or a minimum above its maximum
 */
export function climateFromNormals(
  normals: MonthlyNormals,
  soilC: readonly number[] | null,
  source: string | null,
): Climate {
  for (const months of [normals.minC, normals.maxC, ...(soilC === null ? [] : [soilC])]) {
    if (months.length !== 12 || !months.every(Number.isFinite)) {
      throw new RangeError(`twelve monthly values in °C are needed, got ${JSON.stringify(months)}`)
    }
  }
  if (normals.minC.some((min, month) => min > normals.maxC[month]!)) {
    throw new RangeError('the minimum of a month must not lie above its maximum')
  }
  const usual = (byMonth: readonly number[]): Float64Array =>
    Float64Array.from({ length: SLOTS }, (_, slot) => usualOn(byMonth, dateAt(LEAP_FREE_YEAR, slot)))
  const minC = usual(normals.minC)
  const maxC = usual(normals.maxC)
  const meanC = minC.map((min, slot) => (min + maxC[slot]!) / 2)
  const soil = soilC === null ? null : usual(soilC)
  const strayC = straying(meanC)
  const years: YearOfWeather[] = []
  for (let pair = 0; pair < PAIRS; pair++) {
    const wander = wandering(pair + 1)
    for (const sign of [1, -1]) {
      const off = (slot: number): number => sign * wander[slot]! * strayC[slot]!
      const low = minC.map((value, slot) => value + (2 - MAX_MORE) * off(slot))
      const high = maxC.map((value, slot) => Math.max(low[slot]!, value + MAX_MORE * off(slot)))
      const year = { minC: low, maxC: high, meanC: low.map((value, slot) => (value + high[slot]!) / 2) }
      years.push({ ...year, soilC: soil ?? soilFromAir(year.meanC) })
    }
  }
  const from =
    source === null || source === ''
      ? 'the usual temperatures you typed in'
      : `usual temperatures by the month (${source})`
  return climateOf(
    'normals',
    `From ${from}, and from how far days usually stray from these: your bed may be warmer or cooler than its region.`,
    years,
    soil === null ? 'from air' : 'measured',
  )
}

function straying(meanC: Float64Array): Float64Array {
  const warmest = Math.max(...meanC)
  const coldest = Math.min(...meanC)
  const swing = warmest - coldest
  const middle = (warmest + coldest) / 2
  const dayC = Math.max(LEAST_STRAY_C, STRAY_PART * swing)
  return meanC.map((mean) => dayC * (1 - (swing === 0 ? 0 : (WINTER_MORE * (mean - middle)) / (swing / 2))))
}

/** A year of days that stray together, standard deviation 1 (a first-order autoregression). */
function wandering(seed: number): Float64Array {
  const uniform = evenNumbers(seed)
  const step = Math.sqrt(1 - PERSISTENCE ** 2)
  const days = new Float64Array(SLOTS)
  let value = 0
  for (let day = -WARM_UP_DAYS; day < SLOTS; day++) {
    // Box & Muller 1958: a normal number from two even ones
    const normal = Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform())
    value = PERSISTENCE * value + step * normal
    if (day >= 0) days[day] = value
  }
  return days
}

/** The same even numbers from 0 to 1 for the same seed: Lehmer's generator, Park & Miller 1988, Commun. ACM 31:1192. */
function evenNumbers(seed: number): () => number {
  let state = seed * 7919
  return () => {
    state = (state * 48_271) % 2_147_483_647
    return state / 2_147_483_647
  }
}
