/**
 * The usual temperature of each day of the year: an annual and a half-yearly wave, learned from the bed's own days.
 * Before there are any, it stands on monthly normals the grower typed in, or else on the latitude alone.
 */
import { daysBetween } from '../../../shared/local-time.js'
import type { Place } from '../readings.js'
import { type LinearLearner, learned, linearLearner, valueAt, varianceAt } from './linear-learner.js'

/** Usual daily minimum and maximum of each month, January first, °C: 12 values each. */
export interface MonthlyNormals {
  readonly minC: readonly number[]
  readonly maxC: readonly number[]
}

export type DayExtreme = 'min' | 'max'

const DAYS_PER_YEAR = 365.2425
const EPOCH = '2000-01-01'

/** Days since 2000-01-01: the day count of everything in this folder. */
export const dayNumber = (date: string): number => daysBetween(EPOCH, date)

/** Where in the year a day lies, 0 (1 January) to 1. Continuous across leap years. */
export function yearPhase(day: number): number {
  const phase = (day + 0.5) / DAYS_PER_YEAR
  return phase - Math.floor(phase)
}

const waves = (phase: number): number[] => {
  const angle = 2 * Math.PI * phase
  return [1, Math.cos(angle), Math.sin(angle), Math.cos(2 * angle), Math.sin(2 * angle)]
}

/**
 * How far the latitude's guess may be off: mean, annual wave, half-yearly wave (standard deviations, °C). Continental
 * and maritime places of one latitude differ by about as much.
 */
const GUESS_SD = [5, 4, 4, 1.2, 1.2]
/** A bed against the normals of its region: position and sensor, and the years since the normals were taken. */
const NORMALS_SD = [2, 1, 1, 0.7, 0.7]
/** The usual level may wander by about half a degree a year: a hedge grows, a sensor is replaced, climate. °C² a day.
 * (0 to 1 °C² a year tried on the daily records of Seattle, Manhattan in Kansas and Magdeburg: no matter.) */
const LEVEL_DRIFT = [0.3 / DAYS_PER_YEAR, 0, 0, 0, 0]
/**
 * A day tells less about the usual than an independent sample would: neighbours are alike. With a lag-1
 * autocorrelation r the loss is (1 + r) / (1 − r), 4 at r = 0.6.
 */
const SERIAL_LOSS = 4

/**
 * Usual daily mean at a latitude and height: about 27 °C at the equator, −1 °C at the pole, 6.5 °C less per km. Our
 * own round figures; GUESS_SD says how far they may be off.
 */
function meanByLatitudeC(place: Place): number {
  const sine = Math.sin((place.latitudeDeg * Math.PI) / 180)
  return 27 - 28 * sine * sine - 0.0065 * place.elevationM
}

/** Half the usual daily range, °C. */
const HALF_DAILY_RANGE_C = 5
/** Day of the year on which it is usually warmest north of the equator, a month behind the sun. */
const WARMEST_DAY = 200

/** The cycle believed for a place about which nothing but its position is known. */
export function cycleFromPlace(place: Place, extreme: DayExtreme): LinearLearner {
  const sine = Math.abs(Math.sin((place.latitudeDeg * Math.PI) / 180))
  const warmestDay = place.latitudeDeg >= 0 ? WARMEST_DAY : WARMEST_DAY - DAYS_PER_YEAR / 2
  const angle = (2 * Math.PI * warmestDay) / DAYS_PER_YEAR
  // annual wave: none at the equator, 9 °C up and down at 50° (sea coasts 7, plains 14)
  const swingC = 12 * sine
  const levelC = meanByLatitudeC(place) + (extreme === 'max' ? HALF_DAILY_RANGE_C : -HALF_DAILY_RANGE_C)
  return linearLearner([levelC, swingC * Math.cos(angle), swingC * Math.sin(angle), 0, 0], GUESS_SD)
}

/**
 * The cycle through twelve monthly normals (first two Fourier terms of the months' middles).
 *
 * @throws RangeError  not twelve finite values
 */
export function cycleFromNormals(monthlyC: readonly number[]): LinearLearner {
  if (monthlyC.length !== 12 || !monthlyC.every(Number.isFinite)) {
    throw new RangeError(`twelve monthly values in °C are needed, got ${JSON.stringify(monthlyC)}`)
  }
  const weights = [0, 0, 0, 0, 0]
  for (const [month, valueC] of monthlyC.entries()) {
    for (const [i, wave] of waves((month + 0.5) / 12).entries()) {
      weights[i]! += (wave * valueC * (i === 0 ? 1 : 2)) / 12
    }
  }
  return linearLearner(weights, NORMALS_SD)
}

/** The usual value of a day, °C. */
export const usualC = (cycle: LinearLearner, day: number): number => valueAt(cycle, waves(yearPhase(day)))

/** Variance of that value from having seen few days, °C². */
export const usualVariance = (cycle: LinearLearner, day: number): number =>
  varianceAt(cycle, waves(yearPhase(day)))

/** The cycle after one more day. @param dayVariance  of single days around the usual, °C² */
export const cycleWithDay = (
  cycle: LinearLearner,
  day: number,
  valueC: number,
  dayVariance: number,
): LinearLearner => learned(cycle, waves(yearPhase(day)), valueC, dayVariance * SERIAL_LOSS, LEVEL_DRIFT)
