/** Where the year's picture puts what: dates across, rows downwards. Pure. */
import type { PlanWeek, PlanWindow } from '../../../shared/api/plan.js'
import { addDays, daysBetween } from '../../../shared/local-time.js'

/** Weeks of sowing run for a year; what is sown late in it is ready in the next. */
const LEAST_DAYS = 364
const MOST_DAYS = 560
/** Room behind the last cut. */
const MARGIN_DAYS = 10

/** Days that the picture shows, from the first week of sowing on. */
export function shownDays(from: string, windows: readonly PlanWindow[]): number {
  const last = windows.reduce(
    (day, { best }) => Math.max(day, daysBetween(from, best.readyTo ?? best.sowOn)),
    0,
  )
  return Math.min(MOST_DAYS, Math.max(LEAST_DAYS, last + MARGIN_DAYS))
}

export interface YearScale {
  readonly from: string
  readonly days: number
  readonly width: number
  /** px; dates beyond the picture lie on its edge */
  x(date: string): number
}

export function yearScale(from: string, days: number, width: number): YearScale {
  return {
    from,
    days,
    width,
    x: (date) => (Math.min(days, Math.max(0, daysBetween(from, date))) / days) * width,
  }
}

/** The week of sowing at a place across; the last one where no more are. */
export function weekAt(x: number, { days, width }: YearScale, weeks: number): number {
  return Math.min(weeks - 1, Math.max(0, Math.floor(((x / width) * days) / 7)))
}

/** First days of the months within the picture. */
export function monthStarts({ from, days }: YearScale): string[] {
  const starts: string[] = []
  for (let i = 0; i < days; i++) {
    const date = addDays(from, i)
    if (date.endsWith('-01')) starts.push(date)
  }
  return starts
}

export type Phase = 'cover' | 'growing' | 'forming' | 'ready'

export interface Segment {
  readonly phase: Phase
  readonly from: string
  readonly to: string
}

/** The life of a sowing, as far as it comes. */
export function segmentsOf(week: PlanWeek): Segment[] {
  const { sowOn, plantOutOn, headingFrom, readyFrom, readyTo } = week
  const marks: readonly { readonly phase: Phase; readonly from: string | null }[] = [
    plantOutOn === null ? { phase: 'growing', from: sowOn } : { phase: 'cover', from: sowOn },
    ...(plantOutOn === null ? [] : [{ phase: 'growing' as const, from: plantOutOn }]),
    { phase: 'forming', from: headingFrom },
    { phase: 'ready', from: readyFrom },
  ]
  const known = marks.flatMap(({ phase, from }) => (from === null ? [] : [{ phase, from }]))
  return known.flatMap(({ phase, from }, i) => {
    const to = known[i + 1]?.from ?? (phase === 'ready' ? readyTo : null)
    return to === null || to === undefined || to < from ? [] : [{ phase, from, to }]
  })
}
