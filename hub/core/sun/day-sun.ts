/**
 * The sun of one bed on one local day: segments of sun state, sun hours, possible sun hours, coverage.
 */
import type { SunState } from '../../../shared/api/measurements.js'
import type { LocalDay } from '../../../shared/local-time.js'
import { coverage } from '../quality/completeness.js'
import type { Place } from '../readings.js'
import { type BedLight, bedLight, type LightReadings } from './bed-light.js'
import { possibleSunHours } from './possible-sun.js'
import { sunSeries } from './sun-series.js'
import { SUN_STATES, type SunContext, sunStates } from './sun-states.js'
import { type Span, sunTimes, sunUpSpans } from './sun-times.js'

export type { LightReadings } from './bed-light.js'

export interface SunSegment {
  readonly fromMs: number
  readonly toMs: number
  readonly state: SunState
}

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
  /** part of the (elapsed) daylight that good readings account for, 0 to 1 */
  readonly coverage: number
  /** from the day's start to its end (or now), without holes: what is not known is `unknown` */
  readonly segments: readonly SunSegment[]
}

const HOUR_MS = 3_600_000

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
  const light = bedLight(readings)
  const times = sunTimes(day, place)
  const untilMs = Math.min(day.endMs, Math.max(day.startMs, nowMs))
  const daylight = sunUpSpans(day.startMs, untilMs, place)
  const segments = daySegments(
    day.startMs,
    untilMs,
    daylight,
    light,
    sunStates(sunSeries(light, place), place, context).state,
  )

  let daylightMs = 0
  for (const span of daylight) daylightMs += span.toMs - span.fromMs
  let knownMs = 0
  let sunMs = 0
  for (const { fromMs, toMs, state } of segments) {
    if (state === 'sun') sunMs += toMs - fromMs
    if (state !== 'night' && state !== 'unknown') knownMs += toMs - fromMs
  }
  const isKnown = daylightMs > 0 ? knownMs > 0 : times.daylightHours === 0 || light.timeMs.length > 0
  return {
    date: day.date,
    startMs: day.startMs,
    endMs: day.endMs,
    sunriseMs: times.sunriseMs,
    sunsetMs: times.sunsetMs,
    daylightHours: times.daylightHours,
    sunHours: isKnown ? sunMs / HOUR_MS : null,
    possibleSunHours: possibleSunHours(day.startMs, day.endMs, place, context.horizon),
    stillPossibleHours: possibleSunHours(untilMs, day.endMs, place, context.horizon),
    // before sunrise, and in the polar night, nothing can be missing
    coverage: daylightMs > 0 ? coverage(knownMs, daylightMs) : 1,
    segments,
  }
}

/** Times of state from readings and their weights; holes of no more than one missing reading are closed. */
function daySegments(
  startMs: number,
  endMs: number,
  daylight: readonly Span[],
  light: BedLight,
  states: Uint8Array,
): SunSegment[] {
  const segments: SunSegment[] = []
  const add = (fromMs: number, toMs: number, state: SunState): void => {
    if (toMs <= fromMs) return
    const last = segments.at(-1)
    if (last && last.state === state) segments[segments.length - 1] = { ...last, toMs }
    else segments.push({ fromMs, toMs, state })
  }
  const { timeMs, weightMs } = light
  const spanOf = readingSpans(timeMs, weightMs)
  let i = 0
  let doneMs = startMs
  for (const up of daylight) {
    add(doneMs, up.fromMs, 'night')
    doneMs = up.fromMs
    while (i < timeMs.length && spanOf.toMs[i]! <= up.fromMs) i++
    for (; i < timeMs.length && spanOf.fromMs[i]! < up.toMs; i++) {
      const state = SUN_STATES[states[i]!]!
      const toMs = Math.min(up.toMs, spanOf.toMs[i]!)
      add(doneMs, Math.min(toMs, spanOf.fromMs[i]!), 'unknown')
      doneMs = Math.max(doneMs, Math.min(toMs, spanOf.fromMs[i]!))
      // a reading taken just before sunrise reaches into the day: the sun is too low to shine
      add(doneMs, toMs, state === 'night' ? 'cloud' : state)
      doneMs = Math.max(doneMs, toMs)
      if (spanOf.toMs[i]! > up.toMs) break
    }
    add(doneMs, up.toMs, 'unknown')
    doneMs = up.toMs
  }
  add(doneMs, endMs, 'night')
  return segments
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
