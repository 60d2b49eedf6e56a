/** Which steps a chart of a long range is drawn in: round ones, no more of them than the chart has room for. */
import { offsetMs } from '../../shared/local-time.js'

const MINUTE_MS = 60_000
const HOUR_MS = 3_600_000
const DAY_MS = 86_400_000
const WEEK_MS = 7 * DAY_MS

const LADDER_MS = [
  ...[1, 2, 5, 10, 15, 30].map((minutes) => minutes * MINUTE_MS),
  ...[1, 2, 3, 6, 12].map((hours) => hours * HOUR_MS),
  ...[1, 2, 7].map((days) => days * DAY_MS),
]

export interface StepGrid {
  readonly stepMs: number
  /** start of the first step, at or before the range; steps of an hour and more start on a UTC hour */
  readonly firstMs: number
  /** end of the last step, at or after the range */
  readonly endMs: number
}

/**
 * The finest grid with at most `points` steps that covers a range. Beyond a week the steps are whole weeks.
 *
 * @param points    most steps wanted, >= 2
 * @param timeZone  steps of a day or more start at local midnight (of the range's first day)
 * @throws RangeError  for an empty range or fewer than 2 points
 */
export function chooseGrid(fromMs: number, toMs: number, points: number, timeZone: string): StepGrid {
  if (!(toMs > fromMs)) throw new RangeError(`empty range: ${fromMs} to ${toMs}`)
  if (!(points >= 2)) throw new RangeError(`at least 2 points, not ${points}`)
  for (const stepMs of LADDER_MS) {
    const grid = gridOf(stepMs, fromMs, toMs, timeZone)
    if (rowsOf(grid) <= points) return grid
  }
  for (let weeks = Math.max(2, Math.floor((toMs - fromMs) / points / WEEK_MS)); ; weeks++) {
    const grid = gridOf(weeks * WEEK_MS, fromMs, toMs, timeZone)
    if (rowsOf(grid) <= points) return grid
  }
}

const rowsOf = (grid: StepGrid): number => (grid.endMs - grid.firstMs) / grid.stepMs

function gridOf(stepMs: number, fromMs: number, toMs: number, timeZone: string): StepGrid {
  // whole hours, so that the steps stay on the hours of the roll-ups in zones of a half hour too
  const shiftMs = stepMs < DAY_MS ? 0 : Math.round(offsetMs(fromMs, timeZone) / HOUR_MS) * HOUR_MS
  // weeks and longer start on the range's own first day, not on a Thursday (where 1970 began)
  const alignMs = Math.min(stepMs, DAY_MS)
  const firstMs = Math.floor((fromMs + shiftMs) / alignMs) * alignMs - shiftMs
  return { stepMs, firstMs, endMs: firstMs + Math.ceil((toMs - firstMs) / stepMs) * stepMs }
}
