/**
 * Curves laid over each other for comparing: by day of the year, or by degree days since the start, so that plantings, beds
 * and years meet where the calendar, or the warmth, puts them. Pure.
 */
import type { ReviewBed, ReviewPlanting } from '../../../shared/api/review.js'
import { addDays, dayOfYear, daysBetween } from '../../../shared/local-time.js'

export type Along = 'calendar' | 'degree-days'
/** What is set side by side. */
export type Among = 'plantings' | 'beds' | 'years'
export type Measure = 'sun' | 'warmth' | 'degree-days' | 'heat'

/** One thing to compare: its days, one after the other. */
export interface Run {
  readonly id: string
  readonly name: string
  readonly date: readonly string[]
  readonly sunHours: readonly (number | null)[]
  readonly meanC: readonly (number | null)[]
  /** added up since the first day */
  readonly sumC: readonly number[]
  /** null: not counted for beds, which have no crop's limit */
  readonly heatHours: readonly (number | null)[] | null
}

export interface Curve {
  readonly id: string
  readonly name: string
  readonly x: readonly number[]
  readonly y: readonly (number | null)[]
}

export function plantingRun(one: ReviewPlanting, name: string): Run {
  const { date, sunHours, meanC, degreeDaysC, heatHours } = one.days
  return { id: one.planting, name, date, sunHours, meanC, sumC: degreeDaysC, heatHours }
}

/** A bed from one date to another; null: it has no days then. */
export function bedRun({ bed, name, days }: ReviewBed, from: string, to: string, title = name): Run | null {
  const first = days.date.findIndex((date) => date >= from)
  if (first < 0) return null
  const after = days.date.findIndex((date) => date > to)
  const end = after < 0 ? days.date.length : after
  if (end - first < 2) return null
  let sum = 0
  return {
    id: `${bed}/${from}`,
    name: title,
    date: days.date.slice(first, end),
    sunHours: days.sunHours.slice(first, end),
    meanC: days.meanC.slice(first, end),
    // a day without readings adds nothing: such a sum is a lower bound
    sumC: days.degreeDaysC.slice(first, end).map((value) => {
      sum += value ?? 0
      return sum
    }),
    heatHours: null,
  }
}

/** A bed's years, cut at the anniversaries of a season's first day. */
export function yearRuns(bed: ReviewBed, from: string, to: string): Run[] {
  const runs: Run[] = []
  for (let start = from; start <= to; ) {
    const next = `${Number(start.slice(0, 4)) + 1}${start.slice(4) === '-02-29' ? '-02-28' : start.slice(4)}`
    const end = addDays(next, -1)
    const name =
      start.slice(0, 4) === end.slice(0, 4) ? start.slice(0, 4) : `${start.slice(0, 4)}/${end.slice(2, 4)}`
    const run = bedRun(bed, start, end < to ? end : to, name)
    if (run !== null) runs.push(run)
    start = next
  }
  return runs
}

const HALF_WIDTH = 3
const DAYS_A_YEAR = 365

/** Mean of the week around each day; null where fewer than three of its days are known. */
export function weekMeans(values: readonly (number | null)[]): (number | null)[] {
  return values.map((_, i) => {
    const known = values
      .slice(Math.max(0, i - HALF_WIDTH), i + HALF_WIDTH + 1)
      .filter((value) => value !== null)
    return known.length < 3 ? null : known.reduce((sum, value) => sum + value, 0) / known.length
  })
}

/** Day of the year of a run's first day, within half a year of another's: a season may cross the new year. */
function firstDay(run: Run, near: number | null): number {
  const on = dayOfYear(run.date[0] ?? '2000-01-01')
  if (near === null) return on
  return on + Math.round((near - on) / DAYS_A_YEAR) * DAYS_A_YEAR
}

function measured(run: Run, measure: Measure): readonly (number | null)[] {
  switch (measure) {
    case 'sun':
      return weekMeans(run.sunHours)
    case 'warmth':
      return weekMeans(run.meanC)
    case 'degree-days':
      return run.sumC
    case 'heat': {
      let sum = 0
      return (run.heatHours ?? []).map((hours) => {
        sum += hours ?? 0
        return sum
      })
    }
  }
}

/** @returns curves in the order of the runs; those for which the measure is not counted are left out */
export function alignedCurves(runs: readonly Run[], measure: Measure, along: Along): Curve[] {
  let near: number | null = null
  return runs.flatMap((run) => {
    if (measure === 'heat' && run.heatHours === null) return []
    const first = firstDay(run, near)
    near ??= first
    const start = run.date[0] ?? ''
    return [
      {
        id: run.id,
        name: run.name,
        x: along === 'calendar' ? run.date.map((date) => first + daysBetween(start, date)) : run.sumC,
        y: measured(run, measure),
      },
    ]
  })
}
