/** The picture of a year: every week of sowing a crop, in place and under cover, with the good windows in it. */
import { addDays, daysBetween } from '../../../shared/local-time.js'
import type { Crop } from '../crops/crop.js'
import { sunTimes } from '../sun/sun-times.js'
import type { Climate } from './climate.js'
import { cropWeather } from './crop-weather.js'
import { type SowingWay, sowingPlan } from './sowing-run.js'
import { type SowingWeek, sowingWeek } from './sowing-week.js'
import { type SowingWindow, sowingWindows } from './sowing-windows.js'
import { dateAt, SLOTS } from './year-slots.js'

export interface YearPlan {
  readonly crop: string
  readonly basis: Climate['basis']
  /** what the plan rests on, for the page */
  readonly words: string
  readonly soilBasis: Climate['soilBasis']
  /** ways in which the year may go that were looked at */
  readonly years: number
  readonly weeks: readonly SowingWeek[]
  readonly windows: readonly SowingWindow[]
}

/**
 * Weighs weeks of sowing one by one, so that a caller may let others work in between: a year of both ways takes a good part
 * of a second on a small computer.
 *
 * @param latitudeDeg  for the length of days; south negative
 */
export function weekPlanner(
  crop: Crop,
  climate: Climate,
  latitudeDeg: number,
): (way: SowingWay, sowOn: string) => SowingWeek {
  const weathers = climate.years.map((year) => cropWeather(crop, year))
  const dayLengthHours = dayLengths(latitudeDeg)
  const plans = {
    'under cover': sowingPlan(crop, 'under cover', dayLengthHours),
    direct: sowingPlan(crop, 'direct', dayLengthHours),
  }
  return (way, sowOn) => sowingWeek(plans[way], climate, weathers, sowOn)
}

/**
 * First days of the weeks of sowing, a week's step from fromDate.
 *
 * @throws RangeError  if the range is empty or longer than 53 weeks
 */
export function sowingDates(fromDate: string, toDate: string): string[] {
  const span = daysBetween(fromDate, toDate)
  if (!(span >= 0 && span <= MOST_DAYS)) {
    throw new RangeError(`sowing dates from ${fromDate} to ${toDate}: give up to 53 weeks`)
  }
  return Array.from({ length: Math.floor(span / 7) + 1 }, (_, week) => addDays(fromDate, 7 * week))
}

/**
 * Plans a crop over a range of sowing dates, at one go. Of less than a year only that part is seen: a window that reaches out
 * of the range is cut at its end.
 *
 * @param fromDate     first day of sowing looked at
 * @param toDate       last day, at most 53 weeks later
 * @param latitudeDeg  for the length of days; south negative
 * @param ways         both by default
 * @throws RangeError  if the range is empty or longer than 53 weeks
 */
export function planYear(
  crop: Crop,
  climate: Climate,
  latitudeDeg: number,
  fromDate: string,
  toDate: string,
  ways: readonly SowingWay[] = ['under cover', 'direct'],
): YearPlan {
  const dates = sowingDates(fromDate, toDate)
  const weigh = weekPlanner(crop, climate, latitudeDeg)
  return yearPlan(
    crop,
    climate,
    ways.map((way) => dates.map((date) => weigh(way, date))),
  )
}

/**
 * The plan from its weeks.
 *
 * @param byWay  the weeks of each way, ascending. Where they go round the whole year a window may begin before the first or
 *               end after the last of them, as it does in nature; it is listed where its best week is.
 */
export function yearPlan(crop: Crop, climate: Climate, byWay: readonly (readonly SowingWeek[])[]): YearPlan {
  return {
    crop: crop.id,
    basis: climate.basis,
    words: climate.words,
    soilBasis: climate.soilBasis,
    years: climate.years.length,
    weeks: byWay.flat(),
    windows: byWay.flatMap((weeks) =>
      weeks.length >= WEEKS_A_YEAR ? windowsRound(weeks.slice(0, WEEKS_A_YEAR)) : sowingWindows(weeks),
    ),
  }
}

/** Windows of a whole year of weeks, with the years before and after it set beside. */
function windowsRound(weeks: readonly SowingWeek[]): SowingWindow[] {
  const round = [-1, 0, 1].flatMap((years) => weeks.map((week) => yearsLater(week, years)))
  const first = weeks[0]!.sowOn
  const last = weeks.at(-1)!.sowOn
  const windows = sowingWindows(round).filter(({ best }) => best.sowOn >= first && best.sowOn <= last)
  // without seasons the three years are one long window: the year's own weeks say all there is
  const isSeasonless = windows.some(({ sowFrom, sowTo }) => daysBetween(sowFrom, sowTo) > MOST_DAYS)
  return isSeasonless ? sowingWindows(weeks) : windows
}

const WEEKS_A_YEAR = 52

/** The same week in another year: the climate goes round and round. No date of a plan is a 29 February. */
function yearsLater(week: SowingWeek, years: number): SowingWeek {
  const later = <T extends string | null>(date: T): T | string =>
    date === null ? date : `${Number(date.slice(0, 4)) + years}${date.slice(4)}`
  return {
    ...week,
    sowOn: later(week.sowOn),
    emergedOn: later(week.emergedOn),
    plantOutOn: later(week.plantOutOn),
    headingFrom: later(week.headingFrom),
    readyFrom: later(week.readyFrom),
    readyTo: later(week.readyTo),
    readyEarly: later(week.readyEarly),
    readyLate: later(week.readyLate),
  }
}

const MOST_DAYS = 53 * 7
const LEAP_FREE_YEAR = 2027
const DAY_MS = 86_400_000

/** Sunrise to sunset on a level horizon, by place in the year, h. Longitude moves the sun by less than a minute of it. */
export function dayLengths(latitudeDeg: number): Float64Array {
  const place = { latitudeDeg, longitudeDeg: 0, elevationM: 0 }
  return Float64Array.from({ length: SLOTS }, (_, slot) => {
    const date = dateAt(LEAP_FREE_YEAR, slot)
    const startMs = Date.parse(`${date}T00:00:00Z`)
    return sunTimes({ date, startMs, endMs: startMs + DAY_MS }, place).daylightHours
  })
}
