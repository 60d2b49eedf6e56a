/**
 * Turns readings with states and weights into stretches of time with a state, without holes. Fed in order of time; a
 * copy can be carried on, so that a running day need not start anew with every reading.
 */
import type { SunState } from '../../../shared/api/measurements.js'
import { SUN_STATES } from './sun-states.js'
import type { Span } from './sun-times.js'

export interface SunSegment {
  readonly fromMs: number
  readonly toMs: number
  readonly state: SunState
}

/** Segments in the making. Give it to addReading in order of time; copySegments lets a running day go on. */
export interface SegmentsSoFar {
  readonly daylight: readonly Span[]
  readonly segments: SunSegment[]
  /** everything before is told */
  doneMs: number
  /** index of the daylight span that is being filled */
  span: number
  sunMs: number
  knownMs: number
  certainMs: number
}

/**
 * @param startMs   where the segments begin
 * @param daylight  stretches with the sun up, ascending; outside them it is night whatever the sensor says
 */
export function startSegments(startMs: number, daylight: readonly Span[]): SegmentsSoFar {
  return { daylight, segments: [], doneMs: startMs, span: 0, sunMs: 0, knownMs: 0, certainMs: 0 }
}

export const copySegments = (so: SegmentsSoFar): SegmentsSoFar => ({ ...so, segments: [...so.segments] })

/** Up to a moment, from where readings end, there is nothing but night and the unknown. */
export function passTo(so: SegmentsSoFar, untilMs: number): void {
  while (so.span < so.daylight.length && so.doneMs < untilMs) {
    const { fromMs, toMs } = so.daylight[so.span]!
    write(so, Math.min(fromMs, untilMs), 'night')
    write(so, Math.min(toMs, untilMs), 'unknown')
    if (toMs > untilMs) return
    so.span++
  }
  write(so, untilMs, 'night')
}

/** A reading's stretch of time, after all earlier ones. @param state  index in SUN_STATES */
export function addReading(
  so: SegmentsSoFar,
  fromMs: number,
  toMs: number,
  state: number,
  certainty: number,
): void {
  passTo(so, fromMs)
  while (so.span < so.daylight.length && so.doneMs < toMs) {
    const day = so.daylight[so.span]!
    write(so, Math.min(day.fromMs, toMs), 'night')
    const untilMs = Math.min(day.toMs, toMs)
    const lengthMs = Math.max(0, untilMs - so.doneMs)
    // a reading taken just before sunrise reaches into the day: the sun is too low to shine
    const name = SUN_STATES[state]!
    const lit: SunState = name === 'night' ? 'cloud' : name
    write(so, untilMs, lit)
    if (lit === 'sun') so.sunMs += lengthMs
    if (lit !== 'unknown') {
      so.knownMs += lengthMs
      so.certainMs += lengthMs * certainty
    }
    if (day.toMs > toMs) return
    so.span++
  }
  write(so, toMs, 'night')
}

function write(so: SegmentsSoFar, untilMs: number, state: SunState): void {
  if (untilMs <= so.doneMs) return
  const last = so.segments.at(-1)
  if (last && last.state === state) so.segments[so.segments.length - 1] = { ...last, toMs: untilMs }
  else so.segments.push({ fromMs: so.doneMs, toMs: untilMs, state })
  so.doneMs = untilMs
}
