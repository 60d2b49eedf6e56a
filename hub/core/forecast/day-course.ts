/**
 * The course of air temperature through the days to come, hour by hour with an 80 % band: the bed's day shape between
 * the forecast extremes, starting from what its sensor says now.
 */
import { type LocalDay, localDay } from '../../../shared/local-time.js'
import type { Place } from '../readings.js'
import { dayAnchors } from './day-anchors.js'
import { type AirCycle, type DayShape, partOfRange, placeInCycle, shapeVariance } from './day-shape.js'
import { HALF_WIDTH_80, type TemperatureOdds } from './normal-odds.js'

export interface CourseDay {
  readonly date: string
  readonly minC: TemperatureOdds
  readonly maxC: TemperatureOdds
}

/** A reading close to the present. */
export interface PresentAir {
  readonly timeMs: number
  readonly airTempC: number
}

export interface CourseInput {
  /** the maximum of the day before the first one, known; null: not measured (the first day's is taken) */
  readonly maxBeforeC: number | null
  /** consecutive days */
  readonly days: readonly CourseDay[]
  readonly shape: DayShape
  /** the newest reading; null: none fresh enough */
  readonly present: PresentAir | null
  readonly place: Place
  readonly timeZone: string
}

/** Columns, ascending. */
export interface DayCourse {
  /** UTC ms */
  readonly timeMs: number[]
  readonly middleC: number[]
  readonly lowC: number[]
  readonly highC: number[]
}

/** How long the distance of the present from the curve lasts: e-folding time (3 to 10 h tried on two hourly records: flat). */
export const PRESENT_FADES_MS = 8 * 3_600_000
/** Errors of a day's minimum and maximum go half together. */
const EXTREMES_LINK = 0.5

const KNOWN = (valueC: number): TemperatureOdds => ({
  meanC: valueC,
  sdC: 0,
  atLeastC: null,
  atMostC: null,
})

interface Stretch {
  readonly cycle: AirCycle
  readonly upperBefore: TemperatureOdds
  readonly lower: TemperatureOdds
  readonly upper: TemperatureOdds
}

/** Afternoon-to-afternoon cycles that cover the days whole; the last evening falls to the last day's minimum. */
function stretches(input: CourseInput): Stretch[] {
  const { days, place, timeZone } = input
  const bounds = days.map(({ date }) => localDay(date, timeZone))
  const beforeFirst = { ...bounds[0]!, startMs: bounds[0]!.startMs - 86_400_000, endMs: bounds[0]!.startMs }
  const last = bounds.at(-1)!
  const afterLast: LocalDay = { ...last, startMs: last.endMs, endMs: last.endMs + 86_400_000 }
  const anchors = [beforeFirst, ...bounds, afterLast].map((day) => dayAnchors(day, place))
  return anchors.slice(1).map((anchor, i) => {
    const own = days[Math.min(i, days.length - 1)]!
    const before = i === 0 ? null : days[i - 1]!
    const upperBefore = before?.maxC ?? (input.maxBeforeC === null ? own.maxC : KNOWN(input.maxBeforeC))
    return {
      upperBefore,
      lower: own.minC,
      upper: own.maxC,
      cycle: {
        warmestBeforeMs: anchors[i]!.warmestMs,
        coolestMs: anchor.coolestMs,
        warmestMs: anchor.warmestMs,
        maxBeforeC: upperBefore.meanC,
        minC: own.minC.meanC,
        maxC: own.maxC.meanC,
      },
    }
  })
}

/** Middle and variance on the curve alone, before the present is looked at. */
function onCurve(timeMs: number, stretch: Stretch, shape: DayShape): { middleC: number; variance: number } {
  const { phase, along } = placeInCycle(timeMs, stretch.cycle)
  const upper = phase === 'cooling' ? stretch.upperBefore : stretch.upper
  const part = partOfRange(shape, phase, along)
  const upperSd = part * upper.sdC
  const lowerSd = (1 - part) * stretch.lower.sdC
  return {
    middleC: stretch.lower.meanC + part * (upper.meanC - stretch.lower.meanC),
    variance:
      upperSd * upperSd +
      lowerSd * lowerSd +
      2 * EXTREMES_LINK * upperSd * lowerSd +
      shapeVariance(shape, phase, along),
  }
}

/**
 * The course at given instants within the days.
 *
 * @param timesMs  UTC ms, ascending; those outside the days are refused
 * @throws RangeError  no days, or an instant before the first day's or after the last day's end
 */
export function courseAt(input: CourseInput, timesMs: readonly number[]): DayCourse {
  const first = input.days[0]
  const last = input.days.at(-1)
  if (!first || !last) throw new RangeError('a course needs at least one day')
  const fromMs = localDay(first.date, input.timeZone).startMs
  const toMs = localDay(last.date, input.timeZone).endMs
  const all = stretches(input)
  const stretchOf = (timeMs: number): Stretch =>
    all.find((stretch) => timeMs < stretch.cycle.warmestMs) ?? all.at(-1)!

  const { present } = input
  const hasPresent = present !== null && present.timeMs >= fromMs - PRESENT_FADES_MS && present.timeMs <= toMs
  const distanceC = hasPresent
    ? present.airTempC - onCurve(present.timeMs, stretchOf(present.timeMs), input.shape).middleC
    : 0

  const course: DayCourse = { timeMs: [], middleC: [], lowC: [], highC: [] }
  for (const timeMs of timesMs) {
    if (timeMs < fromMs || timeMs > toMs) {
      throw new RangeError(`${new Date(timeMs).toISOString()} is outside the days of this forecast`)
    }
    const { middleC, variance } = onCurve(timeMs, stretchOf(timeMs), input.shape)
    const fading =
      hasPresent && timeMs >= present.timeMs ? Math.exp(-(timeMs - present.timeMs) / PRESENT_FADES_MS) : 0
    const valueC = middleC + fading * distanceC
    const halfWidthC = HALF_WIDTH_80 * Math.sqrt(variance * (1 - fading * fading))
    course.timeMs.push(timeMs)
    course.middleC.push(valueC)
    course.lowC.push(valueC - halfWidthC)
    course.highC.push(valueC + halfWidthC)
  }
  return course
}

/**
 * The course through given odds (a corrected public forecast's hours), from now on, starting at what the sensor says.
 *
 * @param points   ascending in time, from before the present where possible
 * @param present  the newest reading; null: none fresh enough
 */
export function courseFromPresent(
  points: readonly { readonly timeMs: number; readonly odds: TemperatureOdds }[],
  present: PresentAir | null,
  nowMs: number,
): DayCourse {
  const expectedC = present === null ? null : betweenPoints(points, present.timeMs)
  const distanceC = present === null || expectedC === null ? null : present.airTempC - expectedC
  const course: DayCourse = { timeMs: [], middleC: [], lowC: [], highC: [] }
  for (const { timeMs, odds } of points) {
    if (timeMs < nowMs) continue
    const fading =
      present === null || distanceC === null ? 0 : Math.exp(-(timeMs - present.timeMs) / PRESENT_FADES_MS)
    const middleC = odds.meanC + fading * (distanceC ?? 0)
    const halfWidthC = HALF_WIDTH_80 * odds.sdC * Math.sqrt(1 - fading * fading)
    course.timeMs.push(timeMs)
    course.middleC.push(middleC)
    course.lowC.push(middleC - halfWidthC)
    course.highC.push(middleC + halfWidthC)
  }
  return course
}

/** Straight between the neighbours in time, °C; null outside the points. */
function betweenPoints(
  points: readonly { readonly timeMs: number; readonly odds: TemperatureOdds }[],
  timeMs: number,
): number | null {
  const after = points.findIndex((point) => point.timeMs >= timeMs)
  if (after < 0) return null
  const next = points[after]!
  if (next.timeMs === timeMs) return next.odds.meanC
  const before = points[after - 1]
  if (!before) return null
  const along = (timeMs - before.timeMs) / (next.timeMs - before.timeMs)
  return before.odds.meanC + along * (next.odds.meanC - before.odds.meanC)
}

/** Full hours from an instant to the end of the days. */
export function hoursUntilEnd(input: CourseInput, fromMs: number): number[] {
  const hourMs = 3_600_000
  const first = input.days[0]
  const last = input.days.at(-1)
  if (!first || !last) return []
  const startMs = Math.max(fromMs, localDay(first.date, input.timeZone).startMs)
  const endMs = localDay(last.date, input.timeZone).endMs
  const hours: number[] = []
  for (let timeMs = Math.ceil(startMs / hourMs) * hourMs; timeMs <= endMs; timeMs += hourMs)
    hours.push(timeMs)
  return hours
}
