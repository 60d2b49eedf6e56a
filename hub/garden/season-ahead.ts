/** How a planting's season may go on: stages to come and the degree-day sum to come, with their intervals. Pure. */
import type { TemperatureNormals } from '../../shared/api/normals.js'
import type { PlantingReport } from '../../shared/api/progress.js'
import { addDays } from '../../shared/local-time.js'
import { futuresFromNormals } from '../core/crops/normal-futures.js'
import { projectStages, studentT90, yearsFrom } from '../core/crops/projection.js'
import type { WarmthDay } from '../core/heat/season-degree-days.js'
import type { PlantingSeason } from './planting-season.js'

/** Beyond eight months a season of one year's crops is over. */
const HORIZON_DAYS = 240
/** Fewer past years give no interval (core/crops/projection.ts), and normals are then the better guess. */
const FEWEST_YEARS = 3
const PACE_DAYS = 14
const TODAY_LIKE_DAYS = 3
/** Curves are drawn this far, or until the crop is past its best. */
const CURVE_DAYS = 150

type Basis = PlantingReport['projection']['basis']

interface Futures {
  readonly basis: Basis
  /** degree days of each day from tomorrow on */
  readonly sequences: readonly Float64Array[]
  readonly years: number
}

/**
 * @param past  day records of the place, with the crop's thresholds, up to yesterday; null: not added up yet
 */
export function seasonAhead(
  season: PlantingSeason,
  past: readonly WarmthDay[] | null,
  normals: TemperatureNormals | null,
): Pick<PlantingReport, 'ahead' | 'projection'> {
  const { known, marks, planting, today, stage } = season
  const isOver =
    planting.finishedOn !== null ||
    season.gone !== null ||
    season.observations.some(({ seen }) => seen === 'bolted')
  if (!known || !stage || isOver || season.counted!.date > today.date) {
    return { ahead: NOTHING_AHEAD, projection: { ...NO_PROJECTION, words: whyNone(season, isOver) } }
  }
  const recentC = recentDays(season)
  const futures = futuresOf(season, past, normals, recentC)
  const doneC = byTheEndOfToday(season, recentC)
  const named = new Map(marks.map((mark) => [mark.stage, mark]))
  const stages = projectStages(marks, doneC, today.date, futures.sequences, recentC).map((one) => {
    const mark = named.get(one.stage)!
    const { stage: id, expectedOn, earliestOn, latestOn } = one
    return {
      stage: id,
      stageName: mark.name,
      bbch: mark.bbch,
      degreeDaysC: mark.degreeDaysC,
      expectedOn,
      earliestOn,
      latestOn,
    }
  })
  const isNothing = futures.basis === 'none' && stages.every(({ expectedOn }) => expectedOn === null)
  return {
    ahead: isNothing
      ? NOTHING_AHEAD
      : curveAhead(doneC, today.date, futures, recentC, marks.at(-1)!.degreeDaysC),
    projection: {
      basis: futures.basis,
      years: futures.years,
      words: wordsOf(futures, past === null),
      stages,
      harvest: harvestOf(season, stages),
    },
  }
}

const NOTHING_AHEAD: PlantingReport['ahead'] = { date: [], lowC: [], middleC: [], highC: [] }
const NO_PROJECTION: PlantingReport['projection'] = {
  basis: 'none',
  years: 0,
  words: '',
  stages: [],
  harvest: null,
}

function whyNone({ known, counted, today }: PlantingSeason, isOver: boolean): string {
  if (!known) return 'Without a known crop there is nothing to project.'
  if (!counted) return 'Give the date it was sown or planted out.'
  if (isOver) return 'Its season is over.'
  return counted.date > today.date ? `It begins on ${counted.date}.` : 'Nothing to project from.'
}

/** Degree days of each of the last whole days, of those that were measured. */
function recentDays({ days, records, today }: PlantingSeason): number[] {
  const recent: number[] = []
  for (let i = Math.max(days.length - 1 - PACE_DAYS, 0); i < days.length; i++) {
    if (records[i]!.degreeDaysC === null || records[i]!.date === today.date) continue
    recent.push(days[i]!.degreeDaysC - (days[i - 1]?.degreeDaysC ?? 0))
  }
  return recent
}

const mean = (values: readonly number[]): number =>
  values.length === 0 ? 0 : values.reduce((sum, value) => sum + value, 0) / values.length

/** What is left of today is taken to be like the last days. */
function byTheEndOfToday({ degreeDaysC, today }: PlantingSeason, recentC: readonly number[]): number {
  return (degreeDaysC ?? 0) + (1 - today.elapsed) * mean(recentC.slice(-TODAY_LIKE_DAYS))
}

function futuresOf(
  { known, today }: PlantingSeason,
  past: readonly WarmthDay[] | null,
  normals: TemperatureNormals | null,
  recentC: readonly number[],
): Futures {
  const years = past === null ? [] : yearsFrom(past, today.date, HORIZON_DAYS)
  if (years.length < FEWEST_YEARS && normals !== null) {
    const sequences = futuresFromNormals(normals, known!.crop, today.date, HORIZON_DAYS)
    return { basis: 'normals', sequences, years: 0 }
  }
  if (years.length > 0) return { basis: 'past years', sequences: years, years: years.length }
  return { basis: recentC.length === 0 ? 'none' : 'recent pace', sequences: [], years: 0 }
}

function wordsOf({ basis, years }: Futures, isLoading: boolean): string {
  switch (basis) {
    case 'past years':
      return years < FEWEST_YEARS
        ? `From ${years === 1 ? 'the one past year' : 'two past years'} measured in this garden: too few to say how far off it may be. Type in your region’s usual temperatures to get an interval.`
        : `From the ${years} past years measured in this garden; eight times in ten the date lies in the interval.`
    case 'normals':
      return 'From the usual temperatures you typed in and how far seasons usually stray from them; eight times in ten the date lies in the interval.'
    case 'recent pace':
      return isLoading
        ? 'At the pace of the last two weeks, while the past years are being added up: look again in a minute.'
        : 'At the pace of the last two weeks; how far off that may be is not known: there are no past years here. Type in your region’s usual temperatures for a better guess.'
    case 'none':
      return 'Nothing was measured in the last two weeks, so there is nothing to project from.'
  }
}

function curveAhead(
  doneC: number,
  today: string,
  { sequences }: Futures,
  recentC: readonly number[],
  lastMarkC: number,
): PlantingReport['ahead'] {
  const ahead = {
    date: [] as string[],
    lowC: [] as (number | null)[],
    middleC: [] as number[],
    highC: [] as (number | null)[],
  }
  const paceC = mean(recentC)
  const sums = sequences.map(() => doneC)
  let middleC = doneC
  for (let i = 0; i < CURVE_DAYS && middleC < lastMarkC; i++) {
    for (const [k, sequence] of sequences.entries()) sums[k] = sums[k]! + (sequence[i] ?? 0)
    middleC = sequences.length === 0 ? middleC + paceC : mean(sums)
    const half = sums.length < FEWEST_YEARS ? null : halfInterval(sums, middleC)
    ahead.date.push(addDays(today, i + 1))
    ahead.middleC.push(middleC)
    ahead.lowC.push(half === null ? null : Math.max(doneC, middleC - half))
    ahead.highC.push(half === null ? null : middleC + half)
  }
  return ahead
}

function halfInterval(sums: readonly number[], middleC: number): number {
  const n = sums.length
  const variance = sums.reduce((sum, value) => sum + (value - middleC) ** 2, 0) / (n - 1)
  return studentT90(n - 1) * Math.sqrt(variance * (1 + 1 / n))
}

function harvestOf(
  { days, marks }: PlantingSeason,
  stages: PlantingReport['projection']['stages'],
): PlantingReport['projection']['harvest'] {
  const on = (stage: string): string | null => {
    const ahead = stages.find((one) => one.stage === stage)
    if (ahead) return ahead.expectedOn
    const mark = marks.find((one) => one.stage === stage)
    return days.find((day) => mark !== undefined && day.degreeDaysC >= mark.degreeDaysC)?.date ?? null
  }
  const from = on('ready')
  const isPast = stages.every(({ stage }) => stage !== 'finished')
  return from === null || isPast ? null : { from, to: on('finished') }
}
