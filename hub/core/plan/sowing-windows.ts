/** Good windows: runs of weeks in which sowing leads to good heads. */
import { addDays } from '../../../shared/local-time.js'
import type { SowingWay } from './sowing-run.js'
import type { SowingWeek } from './sowing-week.js'

export interface SowingWindow {
  readonly way: SowingWay
  /** spring crops head while it warms, autumn crops while it cools */
  readonly season: 'warming' | 'cooling'
  /** good: heads form in fit weather; fair: with a risk that the weeks name; risky: the least bad of a poor season */
  readonly grade: 'good' | 'fair' | 'risky'
  /** first and last day of sowing */
  readonly sowFrom: string
  readonly sowTo: string
  /** null for direct sowing */
  readonly plantOutFrom: string | null
  readonly plantOutTo: string | null
  readonly headingFrom: string
  readonly readyFrom: string
  readonly readyTo: string
  /** the week of sowing with the best outlook, or the middle one of several as good */
  readonly best: SowingWeek
}

/** A week this good or better is part of a good window. */
export const GOOD_SCORE = 0.6
export const FAIR_SCORE = 0.3
/** Below this nothing is worth a window: say that this crop is not for this place and season. */
export const RISKY_SCORE = 0.1
/**
 * Weeks belong to the window that come to this part of its best week's score. Where the best is good, a good week is enough:
 * it need not be near the best.
 */
const PART_OF_GOOD = 0.75
/** Published calendars of places with hot summers are about this forgiving (Kansas, eastern North Carolina). */
const PART_OF_LESS = 0.5

/**
 * Windows of one way of sowing, in order of sowing.
 *
 * Weeks are taken together while heads form in the same season. Of each such stretch the weeks near its best one make the
 * window, for plants in one bed differ by more than that. A risky window is named only where the season has no better.
 *
 * @param weeks  of one way, consecutive
 */
export function sowingWindows(weeks: readonly SowingWeek[]): SowingWindow[] {
  const windows = stretches(weeks).flatMap((stretch) => windowIn(stretch) ?? [])
  const isBetter = (season: SowingWindow['season']): boolean =>
    windows.some((one) => one.season === season && one.grade !== 'risky')
  return windows.filter(({ grade, season }) => grade !== 'risky' || !isBetter(season))
}

/**
 * Where frost kills the crop in one year of four no mild year makes up for it; plants just set out can be covered or set again, so
 * one year of two is borne. Ours.
 */
const MOST_KILLING_FROST = 0.25
const MOST_YOUNG_FROST = 0.5
const worth = ({ score, youngFrost, killingFrost }: SowingWeek): number =>
  killingFrost > MOST_KILLING_FROST || youngFrost > MOST_YOUNG_FROST ? 0 : score

/** Scores that differ by less are the same: the best week is then the middle one of them, not a chance of the weather made up. */
const AS_GOOD = 0.95

function middleOfBest(stretch: readonly SowingWeek[]): SowingWeek {
  const top = stretch.reduce((a, b) => (worth(b) > worth(a) ? b : a))
  const isAsGood = (at: number): boolean =>
    at >= 0 && at < stretch.length && worth(stretch[at]!) >= AS_GOOD * worth(top)
  let first = stretch.indexOf(top)
  let last = first
  while (isAsGood(first - 1)) first--
  while (isAsGood(last + 1)) last++
  return stretch[(first + last) >> 1]!
}

function windowIn(stretch: readonly SowingWeek[]): SowingWindow | null {
  const best = middleOfBest(stretch)
  if (worth(best) < RISKY_SCORE) return null
  const grade = best.score >= GOOD_SCORE ? 'good' : best.score >= FAIR_SCORE ? 'fair' : 'risky'
  const least = grade === 'good' ? Math.min(GOOD_SCORE, best.score * PART_OF_GOOD) : best.score * PART_OF_LESS
  const at = stretch.indexOf(best)
  let first = at
  let last = at
  while (first > 0 && worth(stretch[first - 1]!) >= least) first--
  while (last < stretch.length - 1 && worth(stretch[last + 1]!) >= least) last++
  return windowOf(stretch.slice(first, last + 1), best, grade)
}

/** Weeks that come to be ready, cut where the season of heading changes. */
function stretches(weeks: readonly SowingWeek[]): SowingWeek[][] {
  const all: SowingWeek[][] = []
  let before: SowingWeek | null = null
  for (const week of weeks) {
    if (week.readyFrom === null || week.readyTo === null || week.season === null) {
      before = null
      continue
    }
    if (before === null || before.season !== week.season) all.push([])
    all.at(-1)!.push(week)
    before = week
  }
  return all
}

function windowOf(
  weeks: readonly SowingWeek[],
  best: SowingWeek,
  grade: SowingWindow['grade'],
): SowingWindow {
  const first = weeks[0]!
  const last = weeks.at(-1)!
  return {
    way: best.way,
    season: best.season!,
    grade,
    sowFrom: first.sowOn,
    sowTo: addDays(last.sowOn, 6),
    plantOutFrom: first.plantOutOn,
    plantOutTo: last.plantOutOn === null ? null : addDays(last.plantOutOn, 6),
    headingFrom: first.headingFrom!,
    readyFrom: first.readyFrom!,
    readyTo: last.readyTo!,
    best,
  }
}
