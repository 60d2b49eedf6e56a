/** Which readings of a file the hub's quality checks mark, and why: the same checks that the hub itself runs. */
import { type FlagName, flagNames } from '../../shared/quality-flags.js'
import { arrivalFlags } from '../core/quality/arrival-checks.js'
import { contextFlags } from '../core/quality/context-checks.js'
import type { PackReading } from './senml-pack.js'

export interface FlagCounts {
  /** readings with at least one flag */
  readonly readings: number
  readonly byFlag: Readonly<Partial<Record<FlagName, number>>>
}

/** Collects a file's readings, then judges them as the hub does when they are stored and read. */
export class FlagSurvey {
  private readonly series = new Map<string, { timeMs: number[]; value: number[] }>()

  add({ quantity, timeMs, value }: PackReading): void {
    let series = this.series.get(quantity)
    if (!series) {
      series = { timeMs: [], value: [] }
      this.series.set(quantity, series)
    }
    series.timeMs.push(timeMs)
    series.value.push(value)
  }

  /**
   * @param receivedAtMs  when the hub gets them
   * @param horizonMs     age beyond which the hub doubts a reading's time (setting HEARTING_HORIZON_DAYS)
   */
  count(receivedAtMs: number, horizonMs: number): FlagCounts {
    let readings = 0
    const byFlag: Partial<Record<FlagName, number>> = {}
    for (const [quantity, series] of this.series) {
      for (const flags of judge(quantity, series, receivedAtMs, horizonMs)) {
        if (flags === 0) continue
        readings++
        for (const name of flagNames(flags)) byFlag[name] = (byFlag[name] ?? 0) + 1
      }
    }
    return { readings, byFlag }
  }
}

function judge(
  quantity: string,
  series: { readonly timeMs: readonly number[]; readonly value: readonly number[] },
  receivedAtMs: number,
  horizonMs: number,
): Uint16Array {
  const order = ascendingWithoutDoubles(series.timeMs)
  const columns = {
    timeMs: Float64Array.from(order, (i) => series.timeMs[i]!),
    value: Float64Array.from(order, (i) => series.value[i]!),
    flags: Uint16Array.from(order, (i) =>
      arrivalFlags(quantity, series.value[i]!, series.timeMs[i]!, receivedAtMs, horizonMs),
    ),
  }
  return contextFlags(quantity, columns)
}

/** Positions in the order of time; of several readings at one time the first speaks, as in the store. */
function ascendingWithoutDoubles(timeMs: readonly number[]): number[] {
  const order = timeMs.map((_, i) => i).sort((a, b) => timeMs[a]! - timeMs[b]! || a - b)
  return order.filter((i, k) => k === 0 || timeMs[i] !== timeMs[order[k - 1]!])
}
