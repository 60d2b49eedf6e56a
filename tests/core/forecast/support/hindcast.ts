/** Runs the local forecast over a record as if it had stood there: every day's forecast from the days up to it. */
import { pastYearsClimatology } from '../../../../hub/core/forecast/baselines.js'
import { newLocalForecast } from '../../../../hub/core/forecast/local-forecast.js'
import { withDay } from '../../../../hub/core/forecast/local-learning.js'
import { type Outlook, outlook } from '../../../../hub/core/forecast/local-outlook.js'
import { chanceAbove, chanceBelow, interval80 } from '../../../../hub/core/forecast/normal-odds.js'
import {
  brierScore,
  type ChanceAndEvent,
  type ErrorScores,
  errorScores,
  intervalCoverage,
  skillScore,
} from '../../../../hub/core/forecast/scores.js'
import { addDays } from '../../../../shared/local-time.js'
import type { DailyRecord } from './records.js'

export type BrierOfRivals = Readonly<Record<'forecast' | 'persistence' | 'pastYears' | 'usual', number>>

/** Brier scores of "minimum below 0 °C" at one lead, all rivals on the same days. */
export function frostBrier(
  record: DailyRecord,
  outlooks: readonly (Outlook | null)[],
  lead: number,
  fromIndex: number,
): BrierOfRivals & { readonly frosts: number } {
  // the climatology counts what is above a threshold: below 0 is above 0 of the negative
  const negativeMinC = Float64Array.from(record.days, (day) => (day === null ? Number.NaN : -day.minC))
  const rows: Record<keyof BrierOfRivals, ChanceAndEvent[]> = {
    forecast: [],
    persistence: [],
    pastYears: [],
    usual: [],
  }
  for (let i = fromIndex; i + lead < record.days.length; i++) {
    const odds = outlooks[i]?.days[lead - 1]
    const today = record.days[i]
    const then = record.days[i + lead]
    if (!odds || !today || !then) continue
    const happened = then.minC < 0
    const usual = chanceBelow(odds.usualMinC, 0)
    const past = pastYearsClimatology(negativeMinC, i + lead, i, 0)
    rows.forecast.push({ chance: chanceBelow(odds.minC, 0), happened })
    rows.persistence.push({ chance: today.minC < 0 ? 1 : 0, happened })
    rows.pastYears.push({ chance: past?.shareAbove ?? usual, happened })
    rows.usual.push({ chance: usual, happened })
  }
  return {
    forecast: brierScore(rows.forecast)!,
    persistence: brierScore(rows.persistence)!,
    pastYears: brierScore(rows.pastYears)!,
    usual: brierScore(rows.usual)!,
    frosts: rows.forecast.filter(({ happened }) => happened).length,
  }
}

/** By day of the record: the outlook at its end; null: that day was not measured. */
export function hindcast(record: DailyRecord): (Outlook | null)[] {
  let state = newLocalForecast(record.place)
  return record.days.map((day, i) => {
    if (day === null) return null
    state = withDay(state, day)
    return outlook(state, addDays(record.firstDate, i))
  })
}

export interface LeadScores {
  readonly lead: number
  readonly max: Readonly<Record<'forecast' | 'persistence' | 'pastYears' | 'usual', ErrorScores>>
  readonly min: Readonly<Record<'forecast' | 'persistence' | 'pastYears' | 'usual', ErrorScores>>
  readonly maxCoverage: number
  readonly minCoverage: number
  readonly brier: Readonly<Record<'forecast' | 'persistence' | 'pastYears' | 'usual', number>>
  readonly skillAgainstPersistence: number | null
  readonly skillAgainstPastYears: number | null
  readonly skillAgainstUsual: number | null
  readonly events: number
}

/**
 * Scores by lead on the same days for all. Past-years climatology where it exists; in the first year
 * the forecast's own usual course stands in for it.
 *
 * @param fromIndex  first day of issue that counts
 */
export function scoreHindcast(
  record: DailyRecord,
  outlooks: readonly (Outlook | null)[],
  thresholdC: number,
  fromIndex: number,
): LeadScores[] {
  const column = (of: 'minC' | 'maxC'): Float64Array =>
    Float64Array.from(record.days, (day) => day?.[of] ?? Number.NaN)
  const values = { max: column('maxC'), min: column('minC') }
  return [1, 2, 3].map((lead): LeadScores => {
    const rows: {
      kind: 'max' | 'min'
      truthC: number
      forecastC: number
      persistence: number
      pastYears: number
      usual: number
      lowC: number
      highC: number
    }[] = []
    const events: {
      forecast: number
      persistence: number
      pastYears: number
      usual: number
      happened: boolean
    }[] = []
    for (let i = fromIndex; i + lead < record.days.length; i++) {
      const issued = outlooks[i]
      const today = record.days[i]
      const then = record.days[i + lead]
      if (!issued || !today || !then) continue
      const odds = issued.days[lead - 1]!
      for (const kind of ['max', 'min'] as const) {
        const of = kind === 'max' ? 'maxC' : 'minC'
        const past = pastYearsClimatology(values[kind], i + lead, i, thresholdC)
        const { lowC, middleC, highC } = interval80(odds[of])
        const usual = (kind === 'max' ? odds.usualMaxC : odds.usualMinC).meanC
        rows.push({
          kind,
          truthC: then[of],
          forecastC: middleC,
          persistence: today[of],
          pastYears: past?.meanC ?? usual,
          usual,
          lowC,
          highC,
        })
        if (kind === 'max') {
          events.push({
            forecast: chanceAbove(odds.maxC, thresholdC),
            persistence: today.maxC > thresholdC ? 1 : 0,
            pastYears: past?.shareAbove ?? chanceAbove(odds.usualMaxC, thresholdC),
            usual: chanceAbove(odds.usualMaxC, thresholdC),
            happened: then.maxC > thresholdC,
          })
        }
      }
    }
    const errorsOf = (kind: 'max' | 'min', by: 'forecastC' | 'persistence' | 'pastYears' | 'usual') =>
      errorScores(
        rows.filter((row) => row.kind === kind).map((row) => ({ forecastC: row[by], truthC: row.truthC })),
      )!
    const allOf = (kind: 'max' | 'min') => ({
      forecast: errorsOf(kind, 'forecastC'),
      persistence: errorsOf(kind, 'persistence'),
      pastYears: errorsOf(kind, 'pastYears'),
      usual: errorsOf(kind, 'usual'),
    })
    const brierOf = (by: 'forecast' | 'persistence' | 'pastYears' | 'usual') =>
      brierScore(events.map((event) => ({ chance: event[by], happened: event.happened })))!
    const brier = {
      forecast: brierOf('forecast'),
      persistence: brierOf('persistence'),
      pastYears: brierOf('pastYears'),
      usual: brierOf('usual'),
    }
    return {
      lead,
      max: allOf('max'),
      min: allOf('min'),
      maxCoverage: intervalCoverage(rows.filter((row) => row.kind === 'max'))!,
      minCoverage: intervalCoverage(rows.filter((row) => row.kind === 'min'))!,
      brier,
      skillAgainstPersistence: skillScore(brier.forecast, brier.persistence),
      skillAgainstPastYears: skillScore(brier.forecast, brier.pastYears),
      skillAgainstUsual: skillScore(brier.forecast, brier.usual),
      events: events.filter((event) => event.happened).length,
    }
  })
}
