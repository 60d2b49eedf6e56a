/**
 * What is to come in a bed: from a public forecast corrected to it, or from its own days, whichever knows tomorrow
 * better; and who spoke.
 */
import { addDays, type LocalDay, localDate, localDay } from '../../../shared/local-time.js'
import { isGood } from '../../../shared/quality-flags.js'
import type { ReadingColumns } from '../readings.js'
import type { BedForecastState, BedSurroundings, OwnDays, RegionalForecast } from './bed-forecast.js'
import { correctedOutlook, MODEL_ERROR_LINK, publicDays } from './corrected-outlook.js'
import { courseAt, courseFromPresent, type DayCourse, hoursUntilEnd, type PresentAir } from './day-course.js'
import { type ExtremesOdds, outlook } from './local-outlook.js'
import { interval80, type TemperatureOdds } from './normal-odds.js'
import { corrected } from './public-correction.js'
import { outlookDuring, type RunningDay } from './running-day.js'
import { hotRunAtEnd, type SpellOdds, warmSpellOdds } from './warm-spell-odds.js'

export interface BedForecast {
  /** who spoke of tomorrow: a public forecast corrected to the bed, or the bed's own days */
  readonly source: 'public' | 'bed'
  /** when the public forecast was issued; of the bed's own, the time asked about */
  readonly issuedAtMs: number
  /** what it rests on: public forecasts for one day ahead that have come due, or measured days */
  readonly restsOn: number
  /** today (lead 0) and the days after it */
  readonly days: readonly ExtremesOdds[]
  /** correlation of the errors of one day's maximum with the next day's; one fewer than days */
  readonly maxLinks: readonly number[]
  /** hour by hour (or as the public forecast steps) from now on */
  readonly course: DayCourse
}

const HOUR_MS = 3_600_000
/** A public forecast older than this no longer speaks. */
const FRESH_FOR_MS = 24 * HOUR_MS
/** The newest reading speaks for the present this long. */
const PRESENT_FOR_MS = 2 * HOUR_MS

/** Today's readings up to now; null where none is fresh. */
function runningDay(today: LocalDay, airTemp: ReadingColumns, nowMs: number): RunningDay | null {
  let minSoFarC = Number.POSITIVE_INFINITY
  let maxSoFarC = Number.NEGATIVE_INFINITY
  let newest: PresentAir | null = null
  for (let i = 0; i < airTemp.timeMs.length; i++) {
    const timeMs = airTemp.timeMs[i]!
    if (timeMs < today.startMs || timeMs > nowMs || !isGood(airTemp.flags[i]!)) continue
    const airTempC = airTemp.value[i]!
    minSoFarC = Math.min(minSoFarC, airTempC)
    maxSoFarC = Math.max(maxSoFarC, airTempC)
    newest = { timeMs, airTempC }
  }
  if (newest === null || nowMs - newest.timeMs > PRESENT_FOR_MS) return null
  return { date: today.date, minSoFarC, maxSoFarC, newest }
}

function fromOwnDays(
  own: OwnDays,
  today: LocalDay,
  running: RunningDay | null,
  nowMs: number,
  { place, timeZone }: BedSurroundings,
): BedForecast {
  const yesterdayDate = addDays(today.date, -1)
  const maxBeforeC = own.newest?.date === yesterdayDate ? own.newest.maxC : null
  const said =
    running === null
      ? outlook(own.local, yesterdayDate)
      : outlookDuring(own.local, running, { shape: own.shape, maxBeforeC, place, timeZone })
  const input = {
    maxBeforeC,
    days: said.days,
    shape: own.shape,
    present: running?.newest ?? null,
    place,
    timeZone,
  }
  return {
    source: 'bed',
    issuedAtMs: nowMs,
    restsOn: said.measuredDays,
    // without readings of today, today is the first of the days after the last known one
    days: running === null ? said.days.map((one) => ({ ...one, leadDays: one.leadDays - 1 })) : said.days,
    maxLinks: said.maxLinks,
    course: courseAt(input, hoursUntilEnd(input, nowMs)),
  }
}

const surer = (a: TemperatureOdds, b: TemperatureOdds): boolean => {
  const [first, second] = [interval80(a), interval80(b)]
  return first.highC - first.lowC < second.highC - second.lowC
}

/** Null where there is no fresh public forecast of tomorrow. */
function fromPublicForecast(
  regional: RegionalForecast,
  ownToday: ExtremesOdds,
  running: RunningDay | null,
  nowMs: number,
  { timeZone }: BedSurroundings,
): BedForecast | null {
  const { newest, extremes, hourly } = regional
  if (newest === null || nowMs - newest.issuedAtMs > FRESH_FOR_MS) return null
  const { issuedAtMs, points } = newest
  const said = correctedOutlook(extremes, issuedAtMs, publicDays(points, timeZone), timeZone)
  const publicToday = said.days.find((day) => day.date === ownToday.date)
  const after = said.days
    .filter((day) => day.date > ownToday.date)
    .map((day, i) => ({ ...day, leadDays: i + 1 }))
  if (after[0]?.date !== addDays(ownToday.date, 1)) return null
  const today =
    publicToday && surer(publicToday.maxC, ownToday.maxC) ? { ...publicToday, leadDays: 0 } : ownToday
  const hours = corrected(hourly, issuedAtMs, points)
  return {
    source: 'public',
    issuedAtMs,
    restsOn: said.verified,
    days: [today, ...after],
    maxLinks: after.map(() => MODEL_ERROR_LINK),
    course: courseFromPresent(
      hours.map(({ validAtMs, odds }) => ({ timeMs: validAtMs, odds })),
      running?.newest ?? null,
      nowMs,
    ),
  }
}

/**
 * What is to come in the bed.
 *
 * @param state    all days up to yesterday taken in, as far as they were measured
 * @param airTemp  today's readings so far, flags merged in; may be empty
 * @throws RangeError  the state knows today already
 */
export function bedForecast(
  state: BedForecastState,
  airTemp: ReadingColumns,
  nowMs: number,
  around: BedSurroundings,
): BedForecast {
  const today = localDay(localDate(nowMs, around.timeZone), around.timeZone)
  const running = runningDay(today, airTemp, nowMs)
  const own = fromOwnDays(state.own, today, running, nowMs, around)
  const [ownToday, ownTomorrow] = own.days
  const fromPublic = fromPublicForecast(state.regional, ownToday!, running, nowMs, around)
  return fromPublic !== null && surer(fromPublic.days[1]!.maxC, ownTomorrow!.maxC) ? fromPublic : own
}

/**
 * The chance of a warm spell in the days of a forecast, today included.
 *
 * @param spellDays  so many days in a row above the threshold make a spell
 */
export function bedSpellOdds(
  state: BedForecastState,
  forecast: BedForecast,
  thresholdC: number,
  spellDays: number,
): SpellOdds {
  const { lastDate, recentMaximaC } = state.own
  const isUpToDate = lastDate !== null && addDays(lastDate, 1) === forecast.days[0]?.date
  return warmSpellOdds(
    forecast.days.map((day) => day.maxC),
    forecast.maxLinks,
    { thresholdC, spellDays, hotDaysBefore: isUpToDate ? hotRunAtEnd(recentMaximaC, thresholdC) : 0 },
  )
}
