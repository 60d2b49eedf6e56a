/** The sun of a day on which more than one node stood in a bed: each part of the day is judged by what was learned there. */
import type { LocalDay } from '../../../shared/local-time.js'
import type { Place } from '../readings.js'
import { bedLight, type LightReadings } from './bed-light.js'
import { addLight, closeDay, type DayFrame, type DaySun, dayFrame, daySun } from './day-sun.js'
import { startSegments } from './state-segments.js'
import type { SunContext } from './sun-states.js'

/** What holds from one moment to another (which may be infinite). */
export interface PlacedContext {
  readonly fromMs: number
  readonly toMs: number
  readonly context: SunContext
}

/** The parts that have a share in a day; the first reaches back to its start, each to the next, the last to its end. */
export function partsOfDay(day: LocalDay, placed: readonly PlacedContext[]): PlacedContext[] {
  const touching = placed.filter((p) => p.fromMs < day.endMs && p.toMs > day.startMs)
  return touching.map((part, i) => ({
    fromMs: i === 0 ? day.startMs : part.fromMs,
    toMs: touching[i + 1]?.fromMs ?? day.endMs,
    context: part.context,
  }))
}

/**
 * As daySun, with a context for each stretch of time.
 *
 * @param placed  ascending, not overlapping; none of the day: a true sensor in the open
 */
export function placedDaySun(
  day: LocalDay,
  readings: LightReadings,
  place: Place,
  nowMs: number,
  placed: readonly PlacedContext[],
): DaySun {
  const parts = partsOfDay(day, placed)
  if (parts.length <= 1) return daySun(day, readings, place, nowMs, parts[0]?.context)
  const light = bedLight(readings)
  const untilMs = Math.min(day.endMs, Math.max(day.startMs, nowMs))
  const frame = frameOfParts(day, place, parts)
  const so = startSegments(day.startMs, frame.daylight)
  for (const [i, { fromMs, toMs, context }] of parts.entries()) {
    addLight(so, light, place, context, {
      // readings just outside the day reach into it
      fromMs: i === 0 ? Number.NEGATIVE_INFINITY : fromMs,
      toMs: i === parts.length - 1 ? Number.POSITIVE_INFINITY : toMs,
      untilMs,
    })
  }
  return closeDay(frame, so, untilMs, light.timeMs.length > 0)
}

function frameOfParts(day: LocalDay, place: Place, parts: readonly PlacedContext[]): DayFrame {
  const frames = parts.map((part) => ({ ...part, frame: dayFrame(day, place, part.context) }))
  return {
    ...frames[0]!.frame,
    possible: {
      hoursBetween: (fromMs, toMs) =>
        frames.reduce(
          (sum, part) =>
            sum + part.frame.possible.hoursBetween(Math.max(fromMs, part.fromMs), Math.min(toMs, part.toMs)),
          0,
        ),
    },
  }
}
