/**
 * Good readings drawn together per step: least, mean, most, how many, and how much time they account for.
 * The mean is weighted by the time each reading accounts for, so uneven spacing does not bend it.
 * Pure; shared by the store's adapters.
 */
import { isGood } from '../../shared/quality-flags.js'
import type { ReadingColumns } from '../core/readings.js'
import type { StepColumns } from './port.js'

/** More steps than any chart or computation needs; a guard against a mistaken step length. */
const MOST_STEPS = 2_000_000

/** Sums that grow as readings or whole hours are added; `finish` turns them into columns. */
export class StepSums {
  readonly length: number
  private readonly min: Float64Array
  private readonly max: Float64Array
  private readonly weighted: Float64Array
  private readonly covered: Float64Array
  private readonly count: Uint32Array

  /** @throws RangeError  if the step is not a positive whole number of ms or there would be too many steps */
  constructor(
    private readonly fromMs: number,
    toMs: number,
    private readonly stepMs: number,
  ) {
    if (!Number.isSafeInteger(stepMs) || stepMs <= 0)
      throw new RangeError(`stepMs must be a whole number > 0: ${stepMs}`)
    this.length = Math.max(0, Math.ceil((toMs - fromMs) / stepMs))
    if (!(this.length <= MOST_STEPS))
      throw new RangeError(`${this.length} steps of ${stepMs} ms are too many (at most ${MOST_STEPS})`)
    this.min = new Float64Array(this.length).fill(Number.POSITIVE_INFINITY)
    this.max = new Float64Array(this.length).fill(Number.NEGATIVE_INFINITY)
    this.weighted = new Float64Array(this.length)
    this.covered = new Float64Array(this.length)
    this.count = new Uint32Array(this.length)
  }

  stepOf(timeMs: number): number {
    return Math.floor((timeMs - this.fromMs) / this.stepMs)
  }

  /** Adds figures that are themselves sums over part of one step. */
  add(step: number, min: number, max: number, weighted: number, coveredMs: number, count: number): void {
    if (count === 0) return
    if (min < this.min[step]!) this.min[step] = min
    if (max > this.max[step]!) this.max[step] = max
    this.weighted[step]! += weighted
    this.covered[step]! += coveredMs
    this.count[step]! += count
  }

  /** Adds the good ones of readings `from` to `to` (not included), each to the step its time falls in. */
  addReadings(readings: ReadingColumns, weightsMs: Float64Array, from: number, to: number): void {
    for (let i = from; i < to; i++) {
      if (!isGood(readings.flags[i]!)) continue
      const step = this.stepOf(readings.timeMs[i]!)
      if (step < 0 || step >= this.length) continue
      const value = readings.value[i]!
      this.add(step, value, value, value * weightsMs[i]!, weightsMs[i]!, 1)
    }
  }

  finish(): StepColumns {
    const startMs = new Float64Array(this.length)
    const mean = new Float64Array(this.length)
    for (let i = 0; i < this.length; i++) {
      startMs[i] = this.fromMs + i * this.stepMs
      if (this.count[i] === 0) {
        this.min[i] = Number.NaN
        this.max[i] = Number.NaN
        mean[i] = Number.NaN
      } else {
        mean[i] = this.weighted[i]! / this.covered[i]!
        // a reading at the end of a step may account for time of the next one; a step is never more than full
        if (this.covered[i]! > this.stepMs) this.covered[i] = this.stepMs
      }
    }
    return {
      stepMs: this.stepMs,
      startMs,
      min: this.min,
      mean,
      max: this.max,
      count: this.count,
      coveredMs: this.covered,
    }
  }
}
