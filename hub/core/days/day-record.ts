/** The day record: everything computed for one bed and one local calendar day. Pure. */
import type { DayRecord } from '../../../shared/api/measurements.js'
import type { LocalDay } from '../../../shared/local-time.js'
import {
  type Cutoff,
  type DailyMethod,
  dailyDegreeDays,
  integralDegreeDays,
  type Thresholds,
} from '../heat/degree-days.js'
import { hoursAbove, hoursBetween } from '../heat/temperature-hours.js'
import { COMPLETE_COVERAGE } from '../quality/completeness.js'
import type { ReadingColumns } from '../readings.js'
import { bedLight } from '../sun/bed-light.js'
import type { DaySun } from '../sun/day-sun.js'
import { dailyLightIntegral, luxFromIrradiance } from '../sun/light.js'
import { type DayTemperatures, dayTemperatures } from './day-temperatures.js'

/** Raise it when the computation changes: cached records of other versions are computed again. */
export const DAY_RECORD_VERSION = 2

export interface DayOptions {
  readonly baseC: number
  /** not used with cut-off `none` */
  readonly upperC: number
  /** heat hours: warmer than this */
  readonly heatAboveC: number
  /** chill hours: from this … */
  readonly chillAboveC: number
  /** … to this, both included */
  readonly chillBelowC: number
  /** `integral`: over the readings themselves, the most exact; the others see only minimum and maximum */
  readonly method: 'integral' | DailyMethod
  readonly cutoff: Cutoff
}

/**
 * Base 40 °F and upper 80 °F, common practice for cool-season crops; heat above 27 °C (80 °F), where growers see heads
 * stay loose; chill from 0 to 10 °C, where cabbage and its kin feel winter.
 */
export const DEFAULT_DAY_OPTIONS: DayOptions = {
  baseC: 4.4,
  upperC: 26.7,
  heatAboveC: 27,
  chillAboveC: 0,
  chillBelowC: 10,
  method: 'integral',
  cutoff: 'horizontal',
}

/**
 * Readings of the bed, with flags from context merged in, from before the day to after it: one reading on either
 * side settles the weights at its edges, and the double methods look for tomorrow's minimum in the 24 hours after it.
 */
export interface DayReadings {
  readonly airTemp: ReadingColumns
  readonly soilTemp: ReadingColumns
  readonly light: ReadingColumns
  readonly irradiance: ReadingColumns
}

const DAY_MS = 86_400_000

/**
 * Computes the day record.
 *
 * What holes in the record do:
 * - Minimum, maximum and mean are those of the good readings.
 * - Heat hours, chill hours and DLI are what was measured; holes add nothing.
 * - Degree days by the integral: the mean of the readings stands for the part of the day that has passed, so
 *   small holes are filled with the mean of the rest. Below the completeness rule nothing is filled, and the
 *   figure is a lower bound. A calendar day counts as one day on 23- and 25-hour days too.
 * - The daily methods take minimum and maximum as they are; they speak for a whole day even while it lasts.
 * `airCoverage` and its like tell how much of the time that has passed is accounted for; `provisional` is set
 * while the day lasts and when a figure shown rests on too little.
 *
 * @param sun      of the same bed and day (core/sun)
 * @param nowMs    the present
 * @throws RangeError  an option that makes no sense (base not below upper, chill range upside down, not finite)
 */
export function computeDayRecord(
  day: LocalDay,
  readings: DayReadings,
  sun: DaySun,
  nowMs: number,
  options: DayOptions,
): DayRecord {
  checkOptions(options)
  const air = dayTemperatures('air-temp', readings.airTemp, day, nowMs)
  const soil = dayTemperatures('soil-temp', readings.soilTemp, day, nowMs)
  const warmth = degreeDaysOf(day, air, readings.airTemp, nowMs, options)
  const restsOnTooLittle =
    isThin(air.minC, air.coverage) || isThin(soil.minC, soil.coverage) || isThin(sun.sunHours, sun.coverage)
  const measuredAir = air.minC !== null
  return {
    date: day.date,
    sunHours: sun.sunHours,
    possibleSunHours: sun.possibleSunHours,
    sunCoverage: sun.coverage,
    dliMolM2: lightIntegral(day, readings),
    airTempMinC: air.minC,
    airTempMaxC: air.maxC,
    airTempMeanC: air.meanC,
    airCoverage: air.coverage,
    soilTempMinC: soil.minC,
    soilTempMaxC: soil.maxC,
    soilTempMeanC: soil.meanC,
    soilCoverage: soil.coverage,
    degreeDaysC: warmth.degreeDaysC,
    heatHours: measuredAir ? hoursAbove(air.valueC, air.weightsMs, options.heatAboveC) : null,
    chillHours: measuredAir
      ? hoursBetween(air.valueC, air.weightsMs, options.chillAboveC, options.chillBelowC)
      : null,
    provisional: nowMs < day.endMs || restsOnTooLittle || warmth.isProvisional,
  }
}

const isThin = (figure: number | null, coverage: number): boolean =>
  figure !== null && coverage < COMPLETE_COVERAGE

function degreeDaysOf(
  day: LocalDay,
  air: DayTemperatures,
  airTemp: ReadingColumns,
  nowMs: number,
  options: DayOptions,
): { degreeDaysC: number | null; isProvisional: boolean } {
  const { method } = options
  if (air.minC === null || air.maxC === null) return { degreeDaysC: null, isProvisional: false }
  if (method === 'integral') {
    const elapsed = Math.min(1, Math.max(0, nowMs - day.startMs) / (day.endMs - day.startMs))
    const degreeDaysC = measuredDegreeDays(air.valueC, air.weightsMs, air.coverage, elapsed, options)
    return { degreeDaysC, isProvisional: false }
  }
  if (method === 'double-sine' || method === 'double-triangle') {
    // tomorrow taken as 24 hours: its minimum comes with the dawn, far from either midnight
    const tomorrow = { date: day.date, startMs: day.endMs, endMs: day.endMs + DAY_MS }
    const next = dayTemperatures('air-temp', airTemp, tomorrow, nowMs)
    const isProvisional = next.coverage < COMPLETE_COVERAGE || nowMs < tomorrow.endMs
    // until tomorrow's minimum is known, today's stands in
    const nextMinC = next.minC ?? air.minC
    return { degreeDaysC: dailyDegreeDays(method, air.minC, air.maxC, nextMinC, options), isProvisional }
  }
  return { degreeDaysC: dailyDegreeDays(method, air.minC, air.maxC, null, options), isProvisional: false }
}

/**
 * Degree days of a day by the integral over what was measured, holes filled as computeDayRecord says.
 *
 * @param elapsed  part of the day that has passed, 0 to 1
 * @returns null where no time is covered
 */
export function measuredDegreeDays(
  valueC: Float64Array,
  weightsMs: Float64Array,
  airCoverage: number,
  elapsed: number,
  limits: Thresholds,
): number | null {
  const wholeDay = integralDegreeDays(valueC, weightsMs, limits)
  const part = airCoverage >= COMPLETE_COVERAGE ? elapsed : airCoverage * elapsed
  return wholeDay === null ? null : wholeDay * part
}

/** Light of the day from lux or irradiance, mol/m²; null without readings. */
function lightIntegral(day: LocalDay, readings: DayReadings): number | null {
  const { timeMs, irradianceWm2, weightMs } = bedLight(readings)
  let from = 0
  while (from < timeMs.length && timeMs[from]! < day.startMs) from++
  let to = from
  while (to < timeMs.length && timeMs[to]! < day.endMs) to++
  if (to === from) return null
  // pyranometers read a little below zero at night
  const illuminanceLx = irradianceWm2.slice(from, to).map((wm2) => Math.max(0, luxFromIrradiance(wm2)))
  return dailyLightIntegral(illuminanceLx, weightMs.subarray(from, to))
}

function checkOptions(options: DayOptions): void {
  for (const name of ['baseC', 'heatAboveC', 'chillAboveC', 'chillBelowC'] as const) {
    if (!Number.isFinite(options[name])) throw new RangeError(`${name} is not finite: ${options[name]}`)
  }
  if (options.cutoff !== 'none' && !(options.upperC > options.baseC)) {
    throw new RangeError(`upperC ${options.upperC} is not above baseC ${options.baseC}`)
  }
  if (options.chillAboveC > options.chillBelowC) {
    throw new RangeError(`chill from ${options.chillAboveC} to ${options.chillBelowC} °C holds nothing`)
  }
}
