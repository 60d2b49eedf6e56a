/**
 * One bed's forecasting as the hub drives it: a state that takes in local days and public forecasts as they come.
 * bed-outlook.ts says what it expects.
 *
 * State in, observation in, new state out; the state is plain numbers and can be kept as JSON. Taking in the bed's
 * record again from its start gives the same `own` part: do so (with `withOwnDay`) when a late reading changes a day
 * that has been taken in. The `regional` part needs the public forecasts as they came and is kept.
 */
import { addDays, daysBetween, type LocalDay, localDay } from '../../../shared/local-time.js'
import { isGood } from '../../../shared/quality-flags.js'
import type { Place, ReadingColumns } from '../readings.js'
import {
  type ExtremesCorrection,
  newExtremesCorrection,
  publicDays,
  withMeasuredExtremes,
  withPublicDays,
} from './corrected-outlook.js'
import { dayAnchors } from './day-anchors.js'
import { type DayShape, newDayShape, shapeWithCycle } from './day-shape.js'
import { type LocalForecastState, newLocalForecast } from './local-forecast.js'
import { type MeasuredDay, withDay } from './local-learning.js'
import { measuredDay } from './measured-day.js'
import {
  type CorrectionState,
  type ForecastPoint,
  newCorrection,
  withForecast,
  withTruth,
} from './public-correction.js'
import type { MonthlyNormals } from './seasonal-cycle.js'

/** Raise it when stored states can no longer be read: they are then made anew from the record. */
export const BED_FORECAST_VERSION = 1

export interface BedSurroundings {
  readonly place: Place
  readonly timeZone: string
}

/** What the bed's own days have taught. */
export interface OwnDays {
  readonly local: LocalForecastState
  readonly shape: DayShape
  /** newest day taken in, measured or not; null: none yet */
  readonly lastDate: string | null
  /** newest measured day; null: none yet */
  readonly newest: MeasuredDay | null
  /** maxima of the last days up to `lastDate`, oldest first; null: not measured */
  readonly recentMaximaC: readonly (number | null)[]
}

export interface PublicForecast {
  readonly issuedAtMs: number
  /** ascending in time */
  readonly points: readonly ForecastPoint[]
}

/** What public forecasts, held against the bed, have taught. */
export interface RegionalForecast {
  readonly hourly: CorrectionState
  readonly extremes: ExtremesCorrection
  readonly newest: PublicForecast | null
}

export interface BedForecastState {
  readonly version: number
  readonly own: OwnDays
  readonly regional: RegionalForecast
}

/** Hot runs longer than this are told as this long. */
const RECENT_DAYS = 14
/** Readings this close to the hour are its truth. */
const AROUND_HOUR_MS = 30 * 60_000

export const newOwnDays = (place: Place, normals: MonthlyNormals | null = null): OwnDays => ({
  local: newLocalForecast(place, normals),
  shape: newDayShape(),
  lastDate: null,
  newest: null,
  recentMaximaC: [],
})

/** @param normals  the region's monthly normals where the grower knows them; null: the latitude has to do */
export const newBedForecast = (place: Place, normals: MonthlyNormals | null = null): BedForecastState => ({
  version: BED_FORECAST_VERSION,
  own: newOwnDays(place, normals),
  regional: { hourly: newCorrection(), extremes: newExtremesCorrection(), newest: null },
})

/**
 * The bed's own days with one more that is over. A day less than 80 % measured counts as missed, as do days left out.
 *
 * @param airTemp  flags from context merged in; from noon of the day before to the first reading after the day
 * @throws RangeError  a day that is not over, or not after the last one taken in
 */
export function withOwnDay(
  own: OwnDays,
  day: LocalDay,
  airTemp: ReadingColumns,
  nowMs: number,
  { place, timeZone }: BedSurroundings,
): OwnDays {
  if (nowMs < day.endMs) throw new RangeError(`${day.date} is not over`)
  const since = own.lastDate === null ? 1 : daysBetween(own.lastDate, day.date)
  if (since < 1) throw new RangeError(`${day.date} is not after ${own.lastDate}, which has been taken in`)
  const measured = measuredDay(day, airTemp, nowMs)
  const leftOut = new Array<null>(Math.min(since - 1, RECENT_DAYS)).fill(null)
  const next: OwnDays = {
    ...own,
    lastDate: day.date,
    recentMaximaC: [...own.recentMaximaC, ...leftOut, measured?.maxC ?? null].slice(-RECENT_DAYS),
  }
  if (measured === null) return next

  const yesterday = own.newest?.date === addDays(day.date, -1) ? own.newest : null
  const anchors = dayAnchors(day, place)
  const shape =
    yesterday === null
      ? own.shape
      : shapeWithCycle(
          own.shape,
          {
            warmestBeforeMs: dayAnchors(localDay(yesterday.date, timeZone), place).warmestMs,
            coolestMs: anchors.coolestMs,
            warmestMs: anchors.warmestMs,
            maxBeforeC: yesterday.maxC,
            minC: measured.minC,
            maxC: measured.maxC,
          },
          airTemp,
        )
  return { ...next, local: withDay(own.local, measured), shape, newest: measured }
}

/** Mean of the good readings around an instant, °C; null: there are none. */
function meanAround(readings: ReadingColumns, timeMs: number): number | null {
  let sum = 0
  let count = 0
  for (const [i, readingMs] of readings.timeMs.entries()) {
    if (Math.abs(readingMs - timeMs) > AROUND_HOUR_MS || !isGood(readings.flags[i]!)) continue
    sum += readings.value[i]!
    count++
  }
  return count === 0 ? null : sum / count
}

function withTruthOfDay(
  regional: RegionalForecast,
  day: LocalDay,
  airTemp: ReadingColumns,
  nowMs: number,
): RegionalForecast {
  let { hourly } = regional
  const due = new Set(hourly.pending.map((point) => point.validAtMs))
  for (const timeMs of [...due].sort((a, b) => a - b)) {
    if (timeMs <= day.startMs || timeMs > day.endMs) continue
    const truthC = meanAround(airTemp, timeMs)
    if (truthC !== null) hourly = withTruth(hourly, timeMs, truthC)
  }
  const measured = measuredDay(day, airTemp, nowMs)
  const extremes =
    measured === null ? regional.extremes : withMeasuredExtremes(regional.extremes, day.startMs, measured)
  return { ...regional, hourly, extremes }
}

/**
 * The state with one more local day that is over; see `withOwnDay`. Public forecasts for its hours and extremes come
 * due.
 *
 * @param airTemp  flags from context merged in; from noon of the day before to half an hour past the day's end
 */
export const withBedDay = (
  state: BedForecastState,
  day: LocalDay,
  airTemp: ReadingColumns,
  nowMs: number,
  around: BedSurroundings,
): BedForecastState => ({
  ...state,
  own: withOwnDay(state.own, day, airTemp, nowMs, around),
  regional: withTruthOfDay(state.regional, day, airTemp, nowMs),
})

/**
 * The state that knows a new public forecast. One issued before the newest known is left out.
 *
 * @throws RangeError  a point without finite time or temperature
 */
export function withPublicForecast(
  state: BedForecastState,
  forecast: PublicForecast,
  { timeZone }: BedSurroundings,
): BedForecastState {
  const { hourly, extremes, newest } = state.regional
  if (newest !== null && forecast.issuedAtMs < newest.issuedAtMs) return state
  return {
    ...state,
    regional: {
      hourly: withForecast(hourly, forecast.issuedAtMs, forecast.points),
      extremes: withPublicDays(extremes, forecast.issuedAtMs, publicDays(forecast.points, timeZone)),
      newest: forecast,
    },
  }
}
