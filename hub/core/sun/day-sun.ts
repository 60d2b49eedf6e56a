/**
 * The sun of one bed on one local day: segments of sun state, sun hours, possible sun hours, coverage.
 */
import type { LocalDay } from '../../../shared/local-time.js'
import { coverage } from '../quality/completeness.js'
import type { Place, ReadingColumns } from '../readings.js'
import { type BedLight, bedLight, type LightReadings } from './bed-light.js'
import { type PossibleSun, possibleSun } from './possible-sun.js'
import {
  addReading,
  copySegments,
  passTo,
  type SegmentsSoFar,
  type SunSegment,
  startSegments,
} from './state-segments.js'
import { sunSeries } from './sun-series.js'
import { AROUND_MS, type SunContext, sunStates } from './sun-states.js'
import { type SunTimes, sunTimes, sunUpSpans } from './sun-times.js'

export type { LightReadings } from './bed-light.js'
export type { SunSegment } from './state-segments.js'

export interface DaySun {
  readonly date: string
  readonly startMs: number
  readonly endMs: number
  /** null where the sun does not rise (or set) that day */
  readonly sunriseMs: number | null
  readonly sunsetMs: number | null
  /** time with the sun's upper edge above a level horizon, h */
  readonly daylightHours: number
  /** WMO sunshine (direct irradiance above 120 W/m²) as estimated from the bed's sensor; null: no light readings */
  readonly sunHours: number | null
  readonly possibleSunHours: number
  /** possible sun hours from `nowMs` to the end of the day */
  readonly stillPossibleHours: number
  /**
   * part of the (elapsed) daylight that good readings account for, 0 to 1; a reading at a ceiling that hides whether
   * the sun shines counts in part
   */
  readonly coverage: number
  /** from the day's start to its end (or now), without holes: what is not known is `unknown` */
  readonly segments: readonly SunSegment[]
}

const HOUR_MS = 3_600_000
/** Readings this far outside the day still bear on its states. */
export const DAY_CONTEXT_MS = 2 * AROUND_MS

/**
 * The sun of a bed on a local day.
 *
 * @param day       bounds from shared/local-time.ts
 * @param readings  with flags from context merged in; readings either side of the day help and do not harm
 * @param nowMs     the present: the day is computed up to it
 * @param context   what has been learned about the bed's sensor and sky (learnBedSun); left out: a true sensor in
 *                  the open
 */
export function daySun(
  day: LocalDay,
  readings: LightReadings,
  place: Place,
  nowMs: number,
  context: SunContext = {},
): DaySun {
  const frame = dayFrame(day, place, context)
  const light = bedLight({
    light: around(readings.light, day),
    irradiance: around(readings.irradiance, day),
  })
  const untilMs = Math.min(day.endMs, Math.max(day.startMs, nowMs))
  const so = startSegments(day.startMs, frame.daylight)
  addLight(so, light, place, context, {
    fromMs: Number.NEGATIVE_INFINITY,
    toMs: Number.POSITIVE_INFINITY,
    untilMs,
  })
  return closeDay(frame, so, untilMs, light.timeMs.length > 0)
}

/** What a day is like before any reading. */
export interface DayFrame {
  readonly day: LocalDay
  readonly times: SunTimes
  readonly daylight: ReturnType<typeof sunUpSpans>
  readonly possible: PossibleSun
}

export function dayFrame(day: LocalDay, place: Place, context: SunContext): DayFrame {
  const [possible] = possibleSun(day.startMs, day.endMs, place, [context.horizon])
  return {
    day,
    times: sunTimes(day, place),
    daylight: sunUpSpans(day.startMs, day.endMs, place),
    possible: possible!,
  }
}

/**
 * Adds the readings of a stretch of time to the segments; those outside it only lend their context.
 *
 * @param fromMs   first moment of the readings to add
 * @param toMs     moment after the last
 * @param untilMs  no segment goes beyond
 */
export function addLight(
  so: SegmentsSoFar,
  light: BedLight,
  place: Place,
  context: SunContext,
  { fromMs, toMs, untilMs }: { fromMs: number; toMs: number; untilMs: number },
): void {
  const { state, certainty } = sunStates(sunSeries(light, place), place, context)
  const spans = readingSpans(light.timeMs, light.weightMs)
  for (let i = firstAtOrAfter(light.timeMs, fromMs); i < state.length && light.timeMs[i]! < toMs; i++) {
    const endMs = Math.min(spans.toMs[i]!, untilMs)
    if (endMs <= so.doneMs) continue
    if (spans.fromMs[i]! >= untilMs) break
    addReading(so, spans.fromMs[i]!, endMs, state[i]!, certainty[i]!)
  }
}

/** The day's figures from its segments. */
export function closeDay(frame: DayFrame, so: SegmentsSoFar, untilMs: number, hasReadings: boolean): DaySun {
  const closed = copySegments(so)
  passTo(closed, untilMs)
  const { day, times, daylight, possible } = frame
  let daylightMs = 0
  for (const span of daylight) daylightMs += Math.max(0, Math.min(span.toMs, untilMs) - span.fromMs)
  const isKnown = daylightMs > 0 ? closed.knownMs > 0 : times.daylightHours === 0 || hasReadings
  return {
    date: day.date,
    startMs: day.startMs,
    endMs: day.endMs,
    sunriseMs: times.sunriseMs,
    sunsetMs: times.sunsetMs,
    daylightHours: times.daylightHours,
    sunHours: isKnown ? closed.sunMs / HOUR_MS : null,
    possibleSunHours: possible.hoursBetween(day.startMs, day.endMs),
    stillPossibleHours: possible.hoursBetween(untilMs, day.endMs),
    // before sunrise, and in the polar night, nothing can be missing
    coverage: daylightMs > 0 ? coverage(closed.certainMs, daylightMs) : 1,
    segments: closed.segments,
  }
}

/** The readings of a day with those that bear on them. */
function around(columns: ReadingColumns, day: LocalDay): ReadingColumns {
  const from = firstAtOrAfter(columns.timeMs, day.startMs - DAY_CONTEXT_MS)
  const to = firstAtOrAfter(columns.timeMs, day.endMs + DAY_CONTEXT_MS)
  return {
    timeMs: columns.timeMs.subarray(from, to),
    value: columns.value.subarray(from, to),
    flags: columns.flags.subarray(from, to),
  }
}

function firstAtOrAfter(timeMs: Float64Array, wantedMs: number): number {
  let low = 0
  let high = timeMs.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (timeMs[middle]! < wantedMs) low = middle + 1
    else high = middle
  }
  return low
}

/** The stretch of time that each reading speaks for; a hole of no more than one missing reading is shared. */
function readingSpans(
  timeMs: Float64Array,
  weightMs: Float64Array,
): { fromMs: Float64Array; toMs: Float64Array } {
  const fromMs = timeMs.map((ms, i) => ms - weightMs[i]! / 2)
  const toMs = timeMs.map((ms, i) => ms + weightMs[i]! / 2)
  for (let i = 1; i < timeMs.length; i++) {
    const holeMs = fromMs[i]! - toMs[i - 1]!
    if (holeMs <= Math.max(weightMs[i]!, weightMs[i - 1]!)) {
      toMs[i - 1] = toMs[i - 1]! + holeMs / 2
      fromMs[i] = toMs[i - 1]!
    }
  }
  return { fromMs, toMs }
}
