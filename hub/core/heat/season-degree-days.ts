/**
 * Degree days summed over the days of a season, with the one rule by which holes are filled.
 *
 * A day below the completeness rule counts what was measured; the rest of it is filled with the mean of the nearest
 * complete day before and after, if the hole between these is no longer than three days. Longer holes stay open and the
 * sum is a lower bound. The limits are those of climate services for monthly means: not if more than three days in a row,
 * or more than five in all, are missing (the WMO 3/5 rule).
 */
import type { DayRecord } from '../../../shared/api/measurements.js'
import { COMPLETE_COVERAGE } from '../quality/completeness.js'

export const LONGEST_FILLED_HOLE_DAYS = 3

export type WarmthDay = Pick<DayRecord, 'date' | 'degreeDaysC' | 'airCoverage'>

export interface SeasonDegreeDays {
  /** at the end of each day, °C·d; as many as days given */
  readonly sumC: Float64Array
  /** of the last sum, how much is filled in */
  readonly filledC: number
  /** days of which a part was filled */
  readonly filledDays: number
  /** days in holes too long to fill: the sum is a lower bound when there are any */
  readonly openDays: number
  /** part of the days that good readings account for, 0 to 1 */
  readonly coverage: number
}

/**
 * Sums degree days.
 *
 * @param days       consecutive local days, ascending, by the integral over readings; the last may still be running
 * @param isRunning  the last day is not over: it counts as measured so far and is never filled
 */
export function sumDegreeDays(days: readonly WarmthDay[], isRunning: boolean): SeasonDegreeDays {
  const isWhole = (i: number): boolean => {
    const day = days[i]
    return day !== undefined && day.degreeDaysC !== null && day.airCoverage >= COMPLETE_COVERAGE
  }
  const sumC = new Float64Array(days.length)
  const lastOver = isRunning ? days.length - 2 : days.length - 1
  let sum = 0
  let filledC = 0
  let filledDays = 0
  let openDays = 0
  let covered = 0
  let i = 0
  while (i < days.length) {
    // a hole: days that are not whole, up to the next one that is
    let end = i
    while (end <= lastOver && !isWhole(end)) end++
    const perDay =
      end > i && end - i <= LONGEST_FILLED_HOLE_DAYS ? neighbourMean(days, i - 1, end, lastOver) : null
    for (; i < end; i++) {
      const { degreeDaysC, airCoverage } = days[i]!
      sum += degreeDaysC ?? 0
      covered += degreeDaysC === null ? 0 : airCoverage
      if (perDay === null) openDays++
      else {
        const fill = perDay * (1 - (degreeDaysC === null ? 0 : airCoverage))
        sum += fill
        filledC += fill
        filledDays++
      }
      sumC[i] = sum
    }
    if (i < days.length) {
      sum += days[i]!.degreeDaysC ?? 0
      covered += days[i]!.degreeDaysC === null ? 0 : days[i]!.airCoverage
      sumC[i] = sum
      i++
    }
  }
  return { sumC, filledC, filledDays, openDays, coverage: days.length === 0 ? 0 : covered / days.length }
}

/** Mean of the whole days on both sides of a hole, or of the one there is; null at neither. */
function neighbourMean(
  days: readonly WarmthDay[],
  before: number,
  after: number,
  lastOver: number,
): number | null {
  const sides = [days[before], after <= lastOver ? days[after] : undefined].flatMap((day) =>
    day === undefined || day.degreeDaysC === null ? [] : [day.degreeDaysC],
  )
  return sides.length === 0 ? null : sides.reduce((a, b) => a + b, 0) / sides.length
}
