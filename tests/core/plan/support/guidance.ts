/** How a plan is held against a published planting calendar. */
import { findCrop } from '../../../../hub/core/crops/library.js'
import { climateFromNormals } from '../../../../hub/core/plan/climate-from-normals.js'
import type { SowingWeek } from '../../../../hub/core/plan/sowing-week.js'
import type { SowingWindow } from '../../../../hub/core/plan/sowing-windows.js'
import { planYear, type YearPlan } from '../../../../hub/core/plan/year-plan.js'
import { addDays, daysBetween } from '../../../../shared/local-time.js'
import type { NamedClimate } from './climates.js'

const YEAR = 2026

/** The plan of a crop for a place's normals. */
export function planAt(place: NamedClimate, cropId: string): YearPlan {
  return planYear(
    findCrop(cropId)!,
    climateFromNormals(place, null, null),
    place.latitudeDeg,
    `${YEAR}-01-04`,
    `${YEAR}-12-31`,
  )
}

/** The best window of a way and season. @throws Error if there is none */
export function bestWindow(
  plan: YearPlan,
  way: SowingWindow['way'],
  season: SowingWindow['season'],
): SowingWindow {
  const windows = plan.windows.filter((one) => one.way === way && one.season === season)
  if (windows.length === 0) throw new Error(`no ${season} window ${way} for ${plan.crop}`)
  return windows.reduce((a, b) => (b.best.score > a.best.score ? b : a))
}

/** A published range of dates without a year, 'MM-DD', both included; it may go round the new year. */
export interface PublishedRange {
  readonly from: string
  readonly to: string
}

/** Days from a date to a published range in whichever year is nearest; 0: within it. */
export function daysOutside(date: string, range: PublishedRange): number {
  const nearest = [-1, 0, 1].map((shift) => {
    const year = Number(date.slice(0, 4)) + shift
    const from = `${year}-${range.from}`
    const to = `${range.to < range.from ? year + 1 : year}-${range.to}`
    if (date < from) return daysBetween(date, from)
    return date > to ? daysBetween(to, date) : 0
  })
  return Math.min(...nearest)
}

/** Do a window's dates and a published range have a day in common? */
export function meets(from: string, to: string, range: PublishedRange): boolean {
  for (let date = from; date <= to; date = addDays(date, 1)) if (daysOutside(date, range) === 0) return true
  return false
}

/** Month (1 to 12) of a date. */
export const monthOf = (date: string): number => Number(date.slice(5, 7))

/** The week in which a plan would plant out nearest to a date of its year, 'MM-DD'. */
export function weekPlantedNear(plan: YearPlan, monthDay: string): SowingWeek {
  const weeks = plan.weeks.filter(({ way }) => way === 'under cover')
  const off = (week: SowingWeek): number => daysOutside(week.plantOutOn!, { from: monthDay, to: monthDay })
  return weeks.reduce((a, b) => (off(b) < off(a) ? b : a))
}
