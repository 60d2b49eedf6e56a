/** How far a planting is: degree days since it was sown or planted out, and the stage they mean. Pure. */
import type { Planting } from '../../shared/api/garden.js'
import type { DayRecord, PlantingProgress } from '../../shared/api/measurements.js'
import type { Crop } from '../core/crops/crop.js'
import { countedFrom, stageMarks, stageOf } from '../core/crops/stages.js'
import { COMPLETE_COVERAGE } from '../core/quality/completeness.js'

/** Dates whose day records a planting's progress rests on, both included; null: it has no date, or not begun. */
export function progressDates(planting: Planting, today: string): { from: string; to: string } | null {
  const counted = countedFrom(planting)
  if (!counted || counted.date > today) return null
  const to = planting.finishedOn !== null && planting.finishedOn < today ? planting.finishedOn : today
  return { from: counted.date, to }
}

/**
 * @param crop    null: the library does not know it
 * @param days    records over progressDates, with the crop's thresholds, one a day without holes; today's may be the last
 * @param today   part of today that has passed, 0 to 1
 */
export function plantingProgress(
  planting: Planting,
  crop: Crop | null,
  days: readonly DayRecord[],
  today: { readonly date: string; readonly elapsed: number },
): PlantingProgress {
  const counted = countedFrom(planting)
  const warmth = days.map((day) => day.degreeDaysC)
  const filled = warmth.map((value, i) => value ?? fromNeighbours(warmth, i))
  const known = filled.filter((value) => value !== null)
  const degreeDaysC = known.length > 0 ? known.reduce((sum, value) => sum + value, 0) : null
  const coverage = coverageOf(days, today)
  const common = { planting: planting.id, degreeDaysC, coverage, since: counted?.date ?? null }
  if (!crop || !counted) {
    return {
      ...common,
      stage: 'unknown',
      stageName: 'not known',
      bbch: '',
      basis: crop
        ? 'give the date it was sown or planted out'
        : `the crop "${planting.crop}" is not in the library`,
      stages: [],
    }
  }
  const stage = stageOf(crop, degreeDaysC, planting)!
  const reached = reachedOn(days, filled)
  return {
    ...common,
    stage: stage.stage,
    stageName: stage.name,
    bbch: stage.bbch,
    basis: basisOf(planting, days.length, coverage),
    stages: stageMarks(crop, counted.start).map((mark) => ({
      stage: mark.stage,
      stageName: mark.name,
      bbch: mark.bbch,
      degreeDaysC: mark.degreeDaysC,
      reachedOn:
        counted.date > today.date ? null : mark.degreeDaysC === 0 ? counted.date : reached(mark.degreeDaysC),
    })),
  }
}

/**
 * A single missing day is taken as the mean of its neighbours; longer holes add nothing, and the coverage says so.
 * Common practice for degree-day sums.
 */
function fromNeighbours(warmth: readonly (number | null)[], i: number): number | null {
  const before = warmth[i - 1]
  const after = warmth[i + 1]
  return typeof before === 'number' && typeof after === 'number' ? (before + after) / 2 : null
}

/** Part of the time that readings account for: a filled day counts as not measured. */
function coverageOf(days: readonly DayRecord[], today: { date: string; elapsed: number }): number {
  let measured = 0
  let passed = 0
  for (const day of days) {
    const share = day.date === today.date ? today.elapsed : 1
    passed += share
    if (day.degreeDaysC !== null) measured += day.airCoverage * share
  }
  return passed > 0 ? Math.min(1, measured / passed) : 0
}

/** First date by which the sum has reached a mark; null: not yet. */
function reachedOn(
  days: readonly DayRecord[],
  filled: readonly (number | null)[],
): (degreeDaysC: number) => string | null {
  let sum = 0
  const sums = filled.map((value) => (sum += value ?? 0))
  return (degreeDaysC) => days[sums.findIndex((reached) => reached >= degreeDaysC)]?.date ?? null
}

function basisOf(planting: Planting, days: number, coverage: number): string {
  if (planting.finishedOn !== null) return 'you finished it'
  if (days === 0) return 'not begun yet'
  if (coverage < COMPLETE_COVERAGE) {
    return `first guess from degree days, and only ${Math.round(coverage * 100)} % of the time was measured: it may be further along`
  }
  return 'first guess from degree days'
}
