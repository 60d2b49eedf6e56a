/** Daily sun hours of a method against the truth of a one-minute record. */
import { type SunRecord, trueDays } from '../support/measured-sunshine.js'

/** Part of each record's minute (by index) with sun, 0 to 1; or the sun hours of stretches by time. */
export interface SunTime {
  readonly timeMs: Float64Array
  /** sun that each entry stands for, h */
  readonly hours: Float64Array
}

export interface Score {
  readonly days: number
  /** mean absolute error, h/day */
  readonly error: number
  /** mean error, h/day */
  readonly bias: number
}

/** A day counts when the truth is there for at least this many of its minutes; the mountain day ends at sunset. */
const WHOLE_DAY_MINUTES = 1380
const MOUNTAIN_MINUTES = 1000

export function scoreDays(record: SunRecord, sun: SunTime): Score {
  let error = 0
  let bias = 0
  let days = 0
  let i = 0
  for (const { day, sunHours, minutes } of trueDays(record)) {
    let hours = 0
    while (i < sun.timeMs.length && sun.timeMs[i]! < day.startMs) i++
    for (; i < sun.timeMs.length && sun.timeMs[i]! < day.endMs; i++) hours += sun.hours[i]!
    if (minutes < (record.name.includes('alamosa') ? MOUNTAIN_MINUTES : WHOLE_DAY_MINUTES)) continue
    error += Math.abs(hours - sunHours)
    bias += hours - sunHours
    days++
  }
  return { days, error: error / days, bias: bias / days }
}
