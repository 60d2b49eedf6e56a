/**
 * Degree days: how much warmth a day gave between a crop's base temperature and its upper threshold. One
 * family: every method is a curve of the day (day-curves.ts), every cut-off a way to treat what lies above
 * the upper threshold.
 *
 * All temperatures must be in one unit, °C throughout the hub; the result is in that unit × days. Never
 * negative.
 */
import {
  type DayCurve,
  halvesCurve,
  meanCurve,
  measuredCurve,
  sineCurve,
  squareCurve,
  triangleCurve,
} from './day-curves.js'

/** How a day's minimum and maximum are turned into degree days. */
export type DailyMethod =
  /** (min + max) / 2; McMaster & Wilhelm 1997, method 1 */
  | 'average'
  /** min and max each brought between the thresholds first; McMaster & Wilhelm 1997, method 2 */
  | 'clamped-average'
  | 'triangle'
  /** with tomorrow's minimum for the second half of the day */
  | 'double-triangle'
  | 'sine'
  | 'double-sine'

export const DAILY_METHODS: readonly DailyMethod[] = [
  'average',
  'clamped-average',
  'triangle',
  'double-triangle',
  'sine',
  'double-sine',
]

/**
 * What happens above the upper threshold (Zalom et al. 1983): growth goes on at its highest rate
 * (`horizontal`), slows by as much as it is too warm (`intermediate`), stops (`vertical`), or there is no
 * upper threshold (`none`).
 */
export type Cutoff = 'horizontal' | 'intermediate' | 'vertical' | 'none'

export interface Thresholds {
  /** no growth below */
  readonly baseC: number
  /** > baseC; not used with cut-off `none` */
  readonly upperC: number
  readonly cutoff: Cutoff
}

/**
 * Degree days under a curve.
 *
 * What an intermediate cut-off takes away is never more than a vertical one would: the rule of the University
 * of California's program, found in its published output (tests/published/uc-ipm-esparto-2020.test.ts).
 *
 * @throws RangeError  a threshold is not finite, or upperC is not above baseC
 */
export function degreeDaysUnder(curve: DayCurve, { baseC, upperC, cutoff }: Thresholds): number {
  if (!Number.isFinite(baseC)) throw new RangeError(`base temperature is not finite: ${baseC}`)
  if (cutoff === 'none') return curve.areaAbove(baseC)
  if (!Number.isFinite(upperC) || upperC <= baseC) {
    throw new RangeError(`upper temperature ${upperC} must be finite and above the base ${baseC}`)
  }
  const excess = curve.areaAbove(upperC)
  // two nearly equal areas may differ by less than nothing in floating point
  const horizontal = Math.max(0, curve.areaAbove(baseC) - excess)
  if (cutoff === 'horizontal') return horizontal
  const whileTooWarm = (upperC - baseC) * curve.fractionAbove(upperC)
  const cut = cutoff === 'vertical' ? whileTooWarm : Math.min(excess, whileTooWarm)
  return Math.max(0, horizontal - cut)
}

/**
 * Degree days of one day from its minimum and maximum.
 *
 * @param nextMinC     minimum of the next day; only the double methods look at it. It may lie above maxC.
 * @throws RangeError  a temperature is not finite, maxC < minC, or a double method without nextMinC
 */
export function dailyDegreeDays(
  method: DailyMethod,
  minC: number,
  maxC: number,
  nextMinC: number | null,
  limits: Thresholds,
): number {
  if (!Number.isFinite(minC) || !Number.isFinite(maxC) || maxC < minC) {
    throw new RangeError(`a day cannot have minimum ${minC} and maximum ${maxC}`)
  }
  return degreeDaysUnder(dailyCurve(method, minC, maxC, nextMinC), limits)
}

function dailyCurve(method: DailyMethod, minC: number, maxC: number, nextMinC: number | null): DayCurve {
  switch (method) {
    case 'average':
      return meanCurve(minC, maxC)
    case 'clamped-average':
      return squareCurve(minC, maxC)
    case 'triangle':
      return triangleCurve(minC, maxC)
    case 'sine':
      return sineCurve(minC, maxC)
    case 'double-triangle':
      return doubleCurve(triangleCurve, minC, maxC, nextMinC)
    case 'double-sine':
      return doubleCurve(sineCurve, minC, maxC, nextMinC)
  }
}

function doubleCurve(
  curve: (min: number, max: number) => DayCurve,
  minC: number,
  maxC: number,
  nextMinC: number | null,
): DayCurve {
  if (nextMinC === null || !Number.isFinite(nextMinC)) {
    throw new RangeError(`a double method needs the next day's minimum, got ${nextMinC}`)
  }
  // when it keeps warming overnight the next minimum lies above today's maximum: the half wave is the same upside down
  return halvesCurve(curve(minC, maxC), curve(Math.min(nextMinC, maxC), Math.max(nextMinC, maxC)))
}

/**
 * Degree days of one day as the integral over its readings: the mean of what each reading gives, weighted by
 * the time it accounts for. For the whole day; the caller says how much of the day that is true for.
 *
 * @param weights  see quality/completeness.ts; 0 leaves a reading out
 * @returns null where no time is covered
 */
export function integralDegreeDays(
  valueC: Float64Array,
  weights: Float64Array,
  limits: Thresholds,
): number | null {
  const curve = measuredCurve(valueC, weights)
  return curve === null ? null : degreeDaysUnder(curve, limits)
}
