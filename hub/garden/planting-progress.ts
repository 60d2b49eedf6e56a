/** How far a planting is, in short: degree days since it was sown or planted out, and the stage they mean. Pure. */
import type { Planting } from '../../shared/api/garden.js'
import type { PlantingProgress } from '../../shared/api/measurements.js'
import { countedFrom } from '../core/crops/stages.js'
import { COMPLETE_COVERAGE } from '../core/quality/completeness.js'
import type { PlantingSeason } from './planting-season.js'

/** Dates whose day records a planting's progress rests on, both included; null: it has no date, or not begun. */
export function progressDates(planting: Planting, today: string): { from: string; to: string } | null {
  const counted = countedFrom(planting)
  if (!counted || counted.date > today) return null
  const to = planting.finishedOn !== null && planting.finishedOn < today ? planting.finishedOn : today
  return { from: counted.date, to }
}

export function plantingProgress(season: PlantingSeason): PlantingProgress {
  const { planting, known, counted, stage, today, gone } = season
  const common = {
    planting: planting.id,
    cropName: known?.crop.name ?? planting.crop,
    degreeDaysC: season.degreeDaysC,
    coverage: season.coverage,
    since: counted?.date ?? null,
  }
  if (!known || !counted || !stage) {
    return {
      ...common,
      stage: 'unknown',
      stageName: 'not known',
      bbch: '',
      basis: known
        ? 'give the date it was sown or planted out'
        : `the crop "${planting.crop}" is not in the library`,
      stages: [],
    }
  }
  return {
    ...common,
    stage: stage.stage,
    stageName: stage.name,
    bbch: stage.bbch,
    basis: basisOf(season),
    stages: season.marks.map((mark) => ({
      stage: mark.stage,
      stageName: mark.name,
      bbch: mark.bbch,
      degreeDaysC: mark.degreeDaysC,
      reachedOn:
        gone !== null && mark.stage === 'finished'
          ? gone.on
          : counted.date > today.date
            ? null
            : mark.degreeDaysC === 0
              ? counted.date
              : reachedOn(season, mark.degreeDaysC),
    })),
  }
}

/** First date by which the sum has reached a mark; null: not yet. */
const reachedOn = ({ days }: PlantingSeason, degreeDaysC: number): string | null =>
  days.find((day) => day.degreeDaysC >= degreeDaysC)?.date ?? null

function basisOf({ planting, records, coverage, observations, known, gone }: PlantingSeason): string {
  if (planting.finishedOn !== null) return 'you finished it'
  if (gone !== null) {
    return `you noted the last of it as ${gone.wasCut ? 'cut' : 'lost'} on ${gone.on}; finish the planting to free the bed`
  }
  const bolted = observations.find(({ seen }) => seen === 'bolted')
  if (bolted) return `you saw it bolt on ${bolted.on}`
  if (records.length === 0) return 'not begun yet'
  const last = observations.at(-1)
  const from = last
    ? `from degree days, set right by what you saw on ${last.on}`
    : known?.by === 'library'
      ? 'first guess from degree days'
      : 'from degree days, by your own figures'
  if (coverage < COMPLETE_COVERAGE) {
    return `${from}, and only ${Math.round(coverage * 100)} % of the time was measured: it may be further along`
  }
  return from
}
