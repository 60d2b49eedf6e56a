/**
 * Forecasting while a day runs: what the day has shown so far bounds and corrects its own extremes, and with them the
 * days after.
 */
import { addDays, localDay } from '../../../shared/local-time.js'
import type { Place } from '../readings.js'
import { dayAnchors } from './day-anchors.js'
import { courseAt, type PresentAir } from './day-course.js'
import type { DayShape } from './day-shape.js'
import { outlookAfterExpected } from './expected-day.js'
import type { LocalForecastState } from './local-forecast.js'
import { type DayOdds, type Outlook, outlook } from './local-outlook.js'
import { HALF_WIDTH_80, interval80, type TemperatureOdds } from './normal-odds.js'

/** The running day up to its newest reading. */
export interface RunningDay {
  readonly date: string
  readonly minSoFarC: number
  readonly maxSoFarC: number
  readonly newest: PresentAir
}

export interface Surroundings {
  readonly shape: DayShape
  /** yesterday's maximum; null: not measured */
  readonly maxBeforeC: number | null
  readonly place: Place
  readonly timeZone: string
}

const HOUR_MS = 3_600_000

/** How long a morning's distance from the forecast counts towards the afternoon's maximum: e-folding time. */
const DISTANCE_LASTS_MS = 8 * 3_600_000

/** What is left of a distance after some time; all of it for a time that is past. */
const remaining = (ms: number): number => Math.exp(-Math.max(ms, 0) / DISTANCE_LASTS_MS)

const shifted = (odds: TemperatureOdds, byC: number, part: number): TemperatureOdds => ({
  ...odds,
  meanC: odds.meanC + part * byC,
  sdC: odds.sdC * Math.sqrt(1 - part * part),
})

/**
 * The running day's own extremes.
 *
 * Until the turning point the newest reading's distance from the expected course moves the forecast and narrows it.
 * After the warmest hour the maximum can only still be passed by the next hour's air; after sunrise the calendar
 * day's minimum only by its last hour.
 */
export function runningDayOdds(today: DayOdds, running: RunningDay, around: Surroundings): DayOdds {
  const { newest } = running
  const day = localDay(today.date, around.timeZone)
  const { coolestMs, warmestMs } = dayAnchors(day, around.place)
  const input = {
    maxBeforeC: around.maxBeforeC,
    days: [today],
    shape: around.shape,
    place: around.place,
    timeZone: around.timeZone,
  }
  const expected = courseAt({ ...input, present: null }, [newest.timeMs])
  const distanceC = newest.airTempC - expected.middleC[0]!
  const soonMs = Math.min(newest.timeMs + HOUR_MS, day.endMs)
  const later = courseAt({ ...input, present: newest }, [soonMs, day.endMs])
  const laterOdds = (i: number): TemperatureOdds => ({
    meanC: later.middleC[i]!,
    sdC: (later.highC[i]! - later.middleC[i]!) / HALF_WIDTH_80,
    atLeastC: null,
    atMostC: null,
  })
  const maxC =
    newest.timeMs < warmestMs
      ? shifted(today.maxC, distanceC, remaining(warmestMs - newest.timeMs))
      : laterOdds(0)
  const minC =
    newest.timeMs < coolestMs
      ? shifted(today.minC, distanceC, remaining(coolestMs - newest.timeMs))
      : laterOdds(1)
  return {
    ...today,
    leadDays: 0,
    maxC: { ...maxC, atLeastC: running.maxSoFarC },
    minC: { ...minC, atMostC: running.minSoFarC },
  }
}

/** The mean of the running day's last three hours, as far as it can be told. */
function expectedEvening(today: DayOdds, running: RunningDay, around: Surroundings): TemperatureOdds {
  const { endMs } = localDay(today.date, around.timeZone)
  const input = {
    maxBeforeC: around.maxBeforeC,
    days: [today],
    shape: around.shape,
    place: around.place,
    timeZone: around.timeZone,
    present: running.newest,
  }
  const hours = [2.5, 1.5, 0.5].map((hoursLeft) =>
    Math.max(endMs - hoursLeft * HOUR_MS, running.newest.timeMs),
  )
  const course = courseAt(input, hours)
  return {
    meanC: course.middleC.reduce((sum, valueC) => sum + valueC, 0) / hours.length,
    sdC: (course.highC[1]! - course.middleC[1]!) / HALF_WIDTH_80,
    atLeastC: null,
    atMostC: null,
  }
}

/**
 * Today and the three days after it, from the days before and from what today has shown so far.
 *
 * @param state    up to yesterday (days missed between are taken as unmeasured)
 * @param running  its newest reading lies in the day
 * @throws RangeError  the state already knows the running day, or the reading lies outside it
 */
export function outlookDuring(state: LocalForecastState, running: RunningDay, around: Surroundings): Outlook {
  const day = localDay(running.date, around.timeZone)
  if (running.newest.timeMs < day.startMs || running.newest.timeMs > day.endMs) {
    throw new RangeError(`the newest reading of ${running.date} lies outside that day`)
  }
  const fromYesterday = outlook(state, addDays(running.date, -1))
  const today = runningDayOdds(fromYesterday.days[0]!, running, around)
  const max = interval80(today.maxC)
  const min = interval80(today.minC)
  const evening = expectedEvening(today, running, around)
  const after = outlookAfterExpected(state, running.date, {
    eveningC: evening.meanC,
    eveningSdC: evening.sdC,
    eveningIsNear: remaining(day.endMs - running.newest.timeMs),
    minC: Math.min(min.middleC, max.middleC),
    maxC: Math.max(min.middleC, max.middleC),
    minSdC: (min.highC - min.lowC) / (2 * HALF_WIDTH_80),
    maxSdC: (max.highC - max.lowC) / (2 * HALF_WIDTH_80),
  })
  return {
    ...after,
    days: [today, ...after.days],
    maxLinks: [after.maxLinks[0]!, ...after.maxLinks],
    missedDays: fromYesterday.missedDays,
  }
}
