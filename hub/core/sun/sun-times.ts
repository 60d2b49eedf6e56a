/** Sunrise, sunset, solar noon and daylight of a local calendar day. */
import { getTimes } from 'suncalc'
import type { LocalDay } from '../../../shared/local-time.js'
import type { Place } from '../readings.js'

export interface SunTimes {
  /** upper edge of the sun on a level horizon, 34′ of refraction; null: it does not rise around this noon */
  readonly sunriseMs: number | null
  /** of the same arc of the sun, so always after sunrise (in a high summer it may fall just after midnight) */
  readonly sunsetMs: number | null
  /** upper culmination that falls on this day */
  readonly solarNoonMs: number
  /** time within this calendar day with the sun up, h: 0 in polar night, the day's length in polar day */
  readonly daylightHours: number
}

interface Arc {
  readonly noonMs: number
  readonly riseMs: number | null
  readonly setMs: number | null
  readonly upFromMs: number
  readonly upToMs: number
}

const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS
/** Successive noons are up to half a minute more or less than a day apart. */
const TOUCHING_MS = 60_000

/** The sun's arc nearest an instant. Without rise and set it is up (or down) from midnight to midnight. */
function arcNear(timeMs: number, place: Place): Arc {
  const times = getTimes(new Date(timeMs), place.latitudeDeg, place.longitudeDeg)
  const noonMs = times.solarNoon.getTime()
  const riseMs = times.sunrise?.getTime() ?? null
  const setMs = times.sunset?.getTime() ?? null
  const isUpAllDay = times.alwaysUp === true
  return {
    noonMs,
    riseMs,
    setMs,
    upFromMs: riseMs ?? (isUpAllDay ? noonMs - DAY_MS / 2 : noonMs),
    upToMs: setMs ?? (isUpAllDay ? noonMs + DAY_MS / 2 : noonMs),
  }
}

/**
 * Sun times of a local day, for any place: south of the equator, east of +12:00, above the polar circles.
 *
 * @param day  bounds from shared/local-time.ts, so 23- and 25-hour days come out right
 */
export function sunTimes(day: LocalDay, place: Place): SunTimes {
  const middleMs = (day.startMs + day.endMs) / 2
  const arcs = [-1, 0, 1].map((days) => arcNear(middleMs + days * DAY_MS, place))
  const own = arcs.reduce((best, arc) =>
    Math.abs(arc.noonMs - middleMs) < Math.abs(best.noonMs - middleMs) ? arc : best,
  )
  const up = sunUpSpans(day.startMs, day.endMs, place)
  return {
    sunriseMs: own.riseMs,
    sunsetMs: own.setMs,
    solarNoonMs: own.noonMs,
    daylightHours: up.reduce((sum, span) => sum + span.toMs - span.fromMs, 0) / HOUR_MS,
  }
}

export interface Span {
  readonly fromMs: number
  readonly toMs: number
}

/** Parts of a stretch of time with the sun's upper edge above a level horizon, ascending, not touching. */
export function sunUpSpans(fromMs: number, toMs: number, place: Place): Span[] {
  const spans: Span[] = []
  const arcs = Math.ceil((toMs - fromMs) / DAY_MS) + 2
  for (let i = -1; i <= arcs; i++) {
    const arc = arcNear(fromMs + i * DAY_MS, place)
    const span = { fromMs: Math.max(fromMs, arc.upFromMs), toMs: Math.min(toMs, arc.upToMs) }
    const last = spans.at(-1)
    if (span.toMs <= span.fromMs || (last && span.toMs <= last.toMs)) continue
    // arcs of a polar day meet at midnight
    if (last && span.fromMs - last.toMs < TOUCHING_MS) spans[spans.length - 1] = { ...last, toMs: span.toMs }
    else spans.push(span)
  }
  return spans
}
