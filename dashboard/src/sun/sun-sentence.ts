/** The day's sun in a sentence: what there was, and whether six hours are still in reach. Pure. */
import type { BedSun } from '../../../shared/api/measurements.js'
import { hoursInWords, numberWord } from '../format/durations.js'
import { type ClockStyle, clockTime } from '../format/local-clock.js'
import { percent } from '../format/units.js'
import { type Segment, sunReachedAtMs } from './ribbon-bands.js'

/** Heading crops want six to eight hours of direct sun a day. */
export const ENOUGH_HOURS = 6
export const AMPLE_HOURS = 8

export interface SunSentence {
  /** the figure, set in bold */
  readonly lead: string
  readonly rest: string
}

export const segmentsOf = (sun: BedSun): Segment[] =>
  sun.segments.map((s) => ({ fromMs: Date.parse(s.from), toMs: Date.parse(s.to), state: s.state }))

function reached(sun: BedSun, hours: number, timeZone: string, style: ClockStyle): string {
  const atMs = sunReachedAtMs(segmentsOf(sun), hours)
  const at = atMs === null ? '' : ` at ${clockTime(atMs, timeZone, style)}`
  return `${numberWord(hours)} hours reached${at}`
}

function prospect(
  sun: BedSun,
  hours: number,
  isOver: boolean,
  nowIsDark: boolean,
  timeZone: string,
  style: ClockStyle,
): string {
  if (hours >= AMPLE_HOURS) return reached(sun, AMPLE_HOURS, timeZone, style)
  const most = hours + sun.stillPossibleHours
  const eight = most >= AMPLE_HOURS ? ', eight still in reach' : ''
  if (hours >= ENOUGH_HOURS) return `${reached(sun, ENOUGH_HOURS, timeZone, style)}${isOver ? '' : eight}`
  if (isOver) return nowIsDark ? 'six hours were not reached' : 'no more is to come today'
  if (most >= AMPLE_HOURS) return 'eight hours still in reach'
  if (most >= ENOUGH_HOURS) return 'six hours still in reach'
  return `six are out of reach, ${hoursInWords(most)} at most`
}

/** @param nowMs decides between 'so far' and the finished day */
export function sunSentence(sun: BedSun, nowMs: number, timeZone: string, style: ClockStyle): SunSentence {
  const sunsetMs = sun.sunset === null ? Date.parse(sun.to) : Date.parse(sun.sunset)
  const sunriseMs = sun.sunrise === null ? Date.parse(sun.from) : Date.parse(sun.sunrise)
  const isOver = nowMs >= sunsetMs || sun.stillPossibleHours <= 0
  if (nowMs < sunriseMs) {
    const up = clockTime(sunriseMs, timeZone, style)
    return {
      lead: `Sunrise at ${up}`,
      rest: `; up to ${hoursInWords(sun.possibleSunHours)} of sun under a clear sky.`,
    }
  }
  if (sun.possibleSunHours <= 0) return { lead: 'No sun', rest: ' above the horizon today.' }
  if (sun.sunHours === null) {
    return {
      lead: 'No light readings today',
      rest: `; a clear sky would give ${hoursInWords(sun.possibleSunHours)} of sun.`,
    }
  }
  const lead = sun.sunHours * 60 < 1 ? 'No sun' : `${hoursInWords(sun.sunHours)} of sun`
  const when = isOver ? ' today' : ' so far'
  const doubt =
    sun.sunCoverage < 0.8 ? ` Readings cover only ${percent(sun.sunCoverage)} of the daylight.` : ''
  return {
    lead,
    rest: `${when}; ${prospect(sun, sun.sunHours, isOver, nowMs >= sunsetMs, timeZone, style)}.${doubt}`,
  }
}
