/**
 * How a bed's air runs between its extremes: cooling from the warmest hour to sunrise, warming from there to the
 * warmest hour, each as a curve from 0 (the minimum) to 1 (the maximum), learned from the bed's own readings. A bed
 * that gets its sun late, or sits by a warm wall, has its own curve.
 */

import { isGood } from '../../../shared/quality-flags.js'
import type { ReadingColumns } from '../readings.js'

export type Phase = 'cooling' | 'warming'

interface Curve {
  /** by class along the phase: sum of departure from the minimum times range, and of range squared, °C² */
  readonly products: readonly number[]
  readonly squares: readonly number[]
  /** mean squared distance of readings from the curve, °C² */
  readonly residual: readonly number[]
}

export type DayShape = Readonly<Record<Phase, Curve>>

const CLASSES = 10
/** The first belief weighs as much as three days with a range of 10 °C. */
const BELIEF_WEIGHT = 300
/** Part of the memory kept a day: about a month, in which the season moves on. */
const KEPT = 0.97
/** Readings lie this far from the believed curve, °C. */
const BELIEVED_RESIDUAL_C = 1.5

/** Exponent of the night's fall: Parton & Logan 1981, Agric. Meteorol. 23:205, 2.2 for air at 1.5 m (from memory). */
const NIGHT_FALL = 2.2

/** A quarter sine up and an exponential fall (Parton & Logan 1981), as far as nothing is known of the bed. */
function believedCurve(phase: Phase, along: number): number {
  if (phase === 'warming') return Math.sin((Math.PI / 2) * along)
  return (Math.exp(-NIGHT_FALL * along) - Math.exp(-NIGHT_FALL)) / (1 - Math.exp(-NIGHT_FALL))
}

const newCurve = (phase: Phase): Curve => ({
  products: Array.from(
    { length: CLASSES },
    (_, i) => BELIEF_WEIGHT * believedCurve(phase, (i + 0.5) / CLASSES),
  ),
  squares: new Array<number>(CLASSES).fill(BELIEF_WEIGHT),
  residual: new Array<number>(CLASSES).fill(BELIEVED_RESIDUAL_C ** 2),
})

export const newDayShape = (): DayShape => ({ cooling: newCurve('cooling'), warming: newCurve('warming') })

/** From one afternoon to the next: the turning points and the extremes between them. */
export interface AirCycle {
  readonly warmestBeforeMs: number
  readonly coolestMs: number
  readonly warmestMs: number
  readonly maxBeforeC: number
  readonly minC: number
  readonly maxC: number
}

/** Where an instant lies in its cycle; along runs from 0 to 1. */
export function placeInCycle(timeMs: number, cycle: AirCycle): { phase: Phase; along: number } {
  return timeMs < cycle.coolestMs
    ? {
        phase: 'cooling',
        along: (timeMs - cycle.warmestBeforeMs) / (cycle.coolestMs - cycle.warmestBeforeMs),
      }
    : { phase: 'warming', along: (timeMs - cycle.coolestMs) / (cycle.warmestMs - cycle.coolestMs) }
}

const interpolated = (values: readonly number[], along: number): number => {
  const position = Math.min(Math.max(along * CLASSES - 0.5, 0), CLASSES - 1)
  const low = Math.min(Math.floor(position), CLASSES - 2)
  return values[low]! + (position - low) * (values[low + 1]! - values[low]!)
}

/** Part of the way from minimum to maximum, about 0 to 1. */
export const partOfRange = (shape: DayShape, phase: Phase, along: number): number =>
  interpolated(
    shape[phase].products.map((product, i) => product / shape[phase].squares[i]!),
    along,
  )

/** Variance of readings around the curve, °C². */
export const shapeVariance = (shape: DayShape, phase: Phase, along: number): number =>
  interpolated(shape[phase].residual, along)

/**
 * The shape after one more cycle. Bad readings are passed over; classes without readings stay as they were.
 *
 * @param readings  air temperature; those outside the cycle are ignored
 */
export function shapeWithCycle(shape: DayShape, cycle: AirCycle, readings: ReadingColumns): DayShape {
  const sums = { cooling: new Float64Array(CLASSES), warming: new Float64Array(CLASSES) }
  const counts = { cooling: new Float64Array(CLASSES), warming: new Float64Array(CLASSES) }
  for (const [i, timeMs] of readings.timeMs.entries()) {
    if (timeMs < cycle.warmestBeforeMs || timeMs >= cycle.warmestMs || !isGood(readings.flags[i]!)) continue
    const { phase, along } = placeInCycle(timeMs, cycle)
    const at = Math.min(Math.floor(along * CLASSES), CLASSES - 1)
    sums[phase][at]! += readings.value[i]!
    counts[phase][at]! += 1
  }
  const next = (phase: Phase): Curve => {
    const rangeC = (phase === 'cooling' ? cycle.maxBeforeC : cycle.maxC) - cycle.minC
    const products = [...shape[phase].products]
    const squares = [...shape[phase].squares]
    const residual = [...shape[phase].residual]
    for (let i = 0; i < CLASSES; i++) {
      const count = counts[phase][i]!
      if (count === 0) continue
      const departureC = sums[phase][i]! / count - cycle.minC
      const errorC = departureC - (products[i]! / squares[i]!) * rangeC
      products[i] = KEPT * products[i]! + departureC * rangeC
      squares[i] = KEPT * squares[i]! + rangeC * rangeC
      residual[i] = KEPT * residual[i]! + (1 - KEPT) * errorC * errorC
    }
    return { products, squares, residual }
  }
  return { cooling: next('cooling'), warming: next('warming') }
}
