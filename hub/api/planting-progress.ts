/** How far a planting has come: its degree days, and the stage that they mean. */
import type { Garden, Planting } from '../../shared/api/garden.js'
import type { DayRecord, PlantingProgress } from '../../shared/api/measurements.js'
import { addDays, daysBetween, localDate } from '../../shared/local-time.js'
import type { Crop } from '../core/crops/crop.js'
import { findCrop } from '../core/crops/library.js'
import { countedFrom, type StageMark, stageMarks, stageOf } from '../core/crops/stages.js'
import type { ApiDeps } from './deps.js'

/** A planting that was never finished is not counted further back than this. */
const MOST_DAYS = 1_100

/** Does a planting stand in its bed on a date? */
export function standsOn(planting: Planting, date: string): boolean {
  const began = countedFrom(planting)?.date
  return began !== undefined && began <= date && (planting.finishedOn === null || date <= planting.finishedOn)
}

export interface PlantingStage {
  readonly cropName: string
  readonly stage: string
  readonly stageName: string
}

/** Stage now, as the Today page needs it. A crop that has left the library keeps its id as its name. */
export async function plantingStage(
  deps: ApiDeps,
  garden: Garden,
  planting: Planting,
): Promise<PlantingStage> {
  const crop = findCrop(planting.crop)
  if (!crop) return { cropName: planting.crop, ...UNKNOWN }
  const counted = await count(deps, garden, planting, crop)
  const { stage, name } = counted.now ?? { stage: UNKNOWN.stage, name: UNKNOWN.stageName }
  return { cropName: crop.name, stage, stageName: name }
}

/** Everything known of a planting's progress. */
export async function plantingProgress(
  deps: ApiDeps,
  garden: Garden,
  planting: Planting,
): Promise<PlantingProgress> {
  const crop = findCrop(planting.crop)
  const counted = crop ? await count(deps, garden, planting, crop) : NOTHING_COUNTED
  return {
    planting: planting.id,
    degreeDaysC: counted.degreeDaysC,
    coverage: counted.coverage,
    since: counted.since,
    stage: counted.now?.stage ?? UNKNOWN.stage,
    stageName: counted.now?.name ?? UNKNOWN.stageName,
    bbch: counted.now?.bbch ?? '',
    basis: crop ? basisOf(crop) : 'the crop is not in the library',
    stages: counted.marks.map((mark) => ({
      stage: mark.stage,
      stageName: mark.name,
      bbch: mark.bbch,
      degreeDaysC: mark.degreeDaysC,
      reachedOn: counted.reachedOn(mark.degreeDaysC),
    })),
  }
}

const UNKNOWN = { stage: 'unknown', stageName: 'stage not known' } as const

interface Counted {
  readonly since: string | null
  /** null: no day since then has readings */
  readonly degreeDaysC: number | null
  readonly coverage: number
  readonly now: StageMark | null
  readonly marks: readonly StageMark[]
  /** the day on which so many degree days were reached; null: not yet */
  reachedOn(degreeDaysC: number): string | null
}

const NOTHING_COUNTED: Counted = {
  since: null,
  degreeDaysC: null,
  coverage: 0,
  now: null,
  marks: [],
  reachedOn: () => null,
}

async function count(deps: ApiDeps, garden: Garden, planting: Planting, crop: Crop): Promise<Counted> {
  const counted = countedFrom(planting)
  if (!counted) return NOTHING_COUNTED
  const today = localDate(deps.now(), garden.timeZone)
  const until = planting.finishedOn !== null && planting.finishedOn < today ? planting.finishedOn : today
  const isTooLong = daysBetween(counted.date, until) >= MOST_DAYS
  const since = isTooLong ? addDays(until, 1 - MOST_DAYS) : counted.date
  const days =
    since <= until
      ? await deps.measurements.days(garden.id, planting.bed, since, until, {
          baseC: crop.baseC.value,
          upperC: crop.upperC.value,
        })
      : []
  const degreeDaysC = sumOfKnown(days)
  return {
    since,
    degreeDaysC,
    coverage: days.length === 0 ? 0 : days.reduce((sum, day) => sum + day.airCoverage, 0) / days.length,
    now: stageOf(crop, degreeDaysC, planting),
    marks: stageMarks(crop, counted.start),
    reachedOn: (neededC) => dayReached(days, neededC),
  }
}

function sumOfKnown(days: readonly DayRecord[]): number | null {
  const known = days.flatMap(({ degreeDaysC }) => (degreeDaysC === null ? [] : [degreeDaysC]))
  return known.length === 0 ? null : known.reduce((sum, value) => sum + value, 0)
}

function dayReached(days: readonly DayRecord[], neededC: number): string | null {
  let sum = 0
  for (const { date, degreeDaysC } of days) {
    sum += degreeDaysC ?? 0
    if (sum >= neededC) return date
  }
  return null
}

/** Where the numbers of the stages come from, in words. */
function basisOf(crop: Crop): string {
  switch (crop.degreeDays.toReady.source) {
    case 'grower':
      return 'your own harvests'
    case 'published':
      return 'published degree days'
    default:
      return 'first guess'
  }
}
