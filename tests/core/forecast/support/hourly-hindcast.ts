/** The course of the hours to come, and the running day, over a record with readings through the day. */
import { dayAnchors } from '../../../../hub/core/forecast/day-anchors.js'
import { courseAt } from '../../../../hub/core/forecast/day-course.js'
import { type DayShape, newDayShape, shapeWithCycle } from '../../../../hub/core/forecast/day-shape.js'
import { type LocalForecastState, newLocalForecast } from '../../../../hub/core/forecast/local-forecast.js'
import { type MeasuredDay, withDay } from '../../../../hub/core/forecast/local-learning.js'
import { outlook } from '../../../../hub/core/forecast/local-outlook.js'
import { interval80 } from '../../../../hub/core/forecast/normal-odds.js'
import { outlookDuring } from '../../../../hub/core/forecast/running-day.js'
import type { ReadingColumns } from '../../../../hub/core/readings.js'
import { localDay } from '../../../../shared/local-time.js'
import { type DailyRecord, TIMED_RECORDS, type TimedTemperatures } from './records.js'

const HOUR_MS = 3_600_000
/** Days from which scores count: the first two weeks only learn. */
const FROM_INDEX = 14

type Name = 'tharandt' | 'winters'

function goodReadings(record: TimedTemperatures): ReadingColumns {
  const good = [...record.timeMs.keys()].filter((i) => Number.isFinite(record.airTempC[i]!))
  return {
    timeMs: Float64Array.from(good, (i) => record.timeMs[i]!),
    value: Float64Array.from(good, (i) => record.airTempC[i]!),
    flags: new Uint16Array(good.length),
  }
}

function firstAtOrAfter(timeMs: Float64Array, ms: number): number {
  let low = 0
  let high = timeMs.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (timeMs[middle]! < ms) low = middle + 1
    else high = middle
  }
  return low
}

function between(readings: ReadingColumns, fromMs: number, toMs: number): ReadingColumns {
  const from = firstAtOrAfter(readings.timeMs, fromMs)
  const to = firstAtOrAfter(readings.timeMs, toMs)
  return {
    timeMs: readings.timeMs.subarray(from, to),
    value: readings.value.subarray(from, to),
    flags: readings.flags.subarray(from, to),
  }
}

interface Step {
  readonly index: number
  readonly day: MeasuredDay
  readonly yesterday: MeasuredDay | null
  /** from the days before this one */
  readonly before: { readonly state: LocalForecastState; readonly shape: DayShape }
  /** with this one */
  readonly after: { readonly state: LocalForecastState; readonly shape: DayShape }
}

/** Every measured day with what was known before and after it. */
function* steps(name: Name, daily: DailyRecord, readings: ReadingColumns): Generator<Step> {
  const { place, timeZone } = TIMED_RECORDS[name]
  let state = newLocalForecast(place)
  let shape = newDayShape()
  for (const [index, day] of daily.days.entries()) {
    if (day === null) continue
    const yesterday = daily.days[index - 1] ?? null
    const before = { state, shape }
    state = withDay(state, day)
    if (yesterday !== null) {
      const last = dayAnchors(localDay(yesterday.date, timeZone), place)
      const own = dayAnchors(localDay(day.date, timeZone), place)
      shape = shapeWithCycle(
        shape,
        {
          warmestBeforeMs: last.warmestMs,
          coolestMs: own.coolestMs,
          warmestMs: own.warmestMs,
          maxBeforeC: yesterday.maxC,
          minC: day.minC,
          maxC: day.maxC,
        },
        between(readings, last.warmestMs, own.warmestMs),
      )
    }
    yield { index, day, yesterday, before, after: { state, shape } }
  }
}

export interface HourlyScores {
  readonly lead: number
  readonly maeC: number
  /** of "as at this hour of the last known day" */
  readonly sameHourMaeC: number
  readonly coverage: number
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length

/** Issued at each midnight, by days ahead. */
export function scoreHourlyCourse(name: Name, daily: DailyRecord, record: TimedTemperatures): HourlyScores[] {
  const { place, timeZone } = TIMED_RECORDS[name]
  const readings = goodReadings(record)
  const at = new Map([...readings.timeMs].map((ms, i) => [ms, readings.value[i]!]))
  const byLead = [1, 2, 3].map(() => ({
    errors: [] as number[],
    sameHour: [] as number[],
    held: [] as number[],
  }))
  for (const { index, day, after } of steps(name, daily, readings)) {
    if (index < FROM_INDEX) continue
    const { endMs } = localDay(day.date, timeZone)
    const present = at.get(endMs)
    const times = Array.from({ length: 72 }, (_, i) => endMs + (i + 1) * HOUR_MS)
    const course = courseAt(
      {
        maxBeforeC: day.maxC,
        days: outlook(after.state, day.date).days,
        shape: after.shape,
        present: present === undefined ? null : { timeMs: endMs, airTempC: present },
        place,
        timeZone,
      },
      times,
    )
    for (const [i, timeMs] of times.entries()) {
      const days = Math.floor(i / 24)
      const truthC = at.get(timeMs)
      const lastKnownC = at.get(timeMs - (days + 1) * 24 * HOUR_MS)
      if (truthC === undefined || lastKnownC === undefined) continue
      const lead = byLead[days]!
      lead.errors.push(Math.abs(course.middleC[i]! - truthC))
      lead.sameHour.push(Math.abs(lastKnownC - truthC))
      lead.held.push(truthC >= course.lowC[i]! && truthC <= course.highC[i]! ? 1 : 0)
    }
  }
  return byLead.map(({ errors, sameHour, held }, i) => ({
    lead: i + 1,
    maeC: mean(errors),
    sameHourMaeC: mean(sameHour),
    coverage: mean(held),
  }))
}

export interface RunningDayScores {
  readonly hour: number
  readonly todayMaxMaeC: number
  readonly tomorrowMaxMaeC: number
  readonly tomorrowMinMaeC: number
  readonly tomorrowMaxCoverage: number
}

/** Issued at given hours of each day, from what the day had shown by then. */
export function scoreRunningDay(
  name: Name,
  daily: DailyRecord,
  record: TimedTemperatures,
  hours: readonly number[],
): RunningDayScores[] {
  const { place, timeZone } = TIMED_RECORDS[name]
  const readings = goodReadings(record)
  const all = [...steps(name, daily, readings)]
  return hours.map((hour) => {
    const sums = { todayMax: [] as number[], max: [] as number[], min: [] as number[], held: [] as number[] }
    for (const { index, day, yesterday, before } of all) {
      const tomorrow = daily.days[index + 1]
      if (index < FROM_INDEX || yesterday === null || !tomorrow) continue
      const { startMs } = localDay(day.date, timeZone)
      const sofar = between(readings, startMs, startMs + hour * HOUR_MS + 1)
      if (sofar.value.length === 0) continue
      const now = outlookDuring(
        before.state,
        {
          date: day.date,
          minSoFarC: Math.min(...sofar.value),
          maxSoFarC: Math.max(...sofar.value),
          newest: { timeMs: sofar.timeMs.at(-1)!, airTempC: sofar.value.at(-1)! },
        },
        { shape: before.shape, maxBeforeC: yesterday.maxC, place, timeZone },
      )
      const max = interval80(now.days[1]!.maxC)
      sums.todayMax.push(Math.abs(interval80(now.days[0]!.maxC).middleC - day.maxC))
      sums.max.push(Math.abs(max.middleC - tomorrow.maxC))
      sums.min.push(Math.abs(interval80(now.days[1]!.minC).middleC - tomorrow.minC))
      sums.held.push(tomorrow.maxC >= max.lowC && tomorrow.maxC <= max.highC ? 1 : 0)
    }
    return {
      hour,
      todayMaxMaeC: mean(sums.todayMax),
      tomorrowMaxMaeC: mean(sums.max),
      tomorrowMinMaeC: mean(sums.min),
      tomorrowMaxCoverage: mean(sums.held),
    }
  })
}
