/**
 * Which readings the sun of a day is judged with: the rule that makes day records a function of what is stored, not of
 * when the hub happened to learn.
 *
 * Every day of a calendar month is judged with what was learned from the light of the month before, that month, and the first week
 * of the next. While that window is not over, it ends at the latest cut: midnight of the last Monday that has been
 * over for long enough to be settled; or, in the first four weeks of the garden's newest placement, when every day
 * teaches something, the last settled midnight. Late readings before the cut make the hub learn again. Pure.
 */
import { addDays, daysBetween, localDate, startOfDayMs } from '../../shared/local-time.js'
import { LIGHT_FLAGS_REACH_MS } from './day-influence.js'

const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS
/** The first week of the next month: a node placed at a month's end is not judged by two days of light. */
const AFTER_DAYS = 7
const YOUNG_MS = 28 * DAY_MS
/** From this age of a moment on, readings that come in on time no longer touch it or its flags. */
const SETTLED_MS = LIGHT_FLAGS_REACH_MS + HOUR_MS
/** a Monday */
const A_MONDAY = '2024-01-01'

export interface LearningWindow {
  /** YYYY-MM */
  readonly month: string
  readonly fromMs: number
  /** never later than the present; not after fromMs: nothing to learn from yet */
  readonly cutMs: number
  /** the month itself, which is judged */
  readonly monthStartMs: number
  readonly monthEndMs: number
}

export const monthOf = (date: string): string => date.slice(0, 7)

/** The first of the month before (n = −1), of the next (n = 1). */
function firstOf(month: string, n: number): string {
  const months = Number(month.slice(0, 4)) * 12 + Number(month.slice(5, 7)) - 1 + n
  const year = String(Math.floor(months / 12)).padStart(4, '0')
  return `${year}-${String((months % 12) + 1).padStart(2, '0')}-01`
}

/**
 * @param month          YYYY-MM
 * @param newestPlacedMs start of the garden's newest placement; −Infinity: none
 */
export function learningWindow(
  month: string,
  timeZone: string,
  newestPlacedMs: number,
  nowMs: number,
): LearningWindow {
  const at = (date: string): number => startOfDayMs(date, timeZone)
  const next = firstOf(month, 1)
  return {
    month,
    fromMs: at(firstOf(month, -1)),
    cutMs: Math.min(at(addDays(next, AFTER_DAYS)), latestCutMs(timeZone, newestPlacedMs, nowMs)),
    monthStartMs: at(firstOf(month, 0)),
    monthEndMs: at(next),
  }
}

function latestCutMs(timeZone: string, newestPlacedMs: number, nowMs: number): number {
  const settled = localDate(nowMs - SETTLED_MS, timeZone)
  const sinceMonday = ((daysBetween(A_MONDAY, settled) % 7) + 7) % 7
  const mondayMs = startOfDayMs(addDays(settled, -sinceMonday), timeZone)
  return mondayMs - newestPlacedMs < YOUNG_MS ? startOfDayMs(settled, timeZone) : mondayMs
}
