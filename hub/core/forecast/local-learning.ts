/**
 * Learning from a measured day: what earlier forecasts said of it, what is usual, and what it means for tomorrow.
 * Fed one by one or all at once the states are the same; only days up to a day are ever in its state.
 */
import { type ErrorLink, linkWithErrors } from './error-link.js'
import { widthAfter } from './interval-width.js'
import { type LinearLearner, learned } from './linear-learner.js'
import {
  type ByExtreme,
  type IssuedForecast,
  LEAD_DAYS,
  type LocalForecastState,
  perExtreme,
} from './local-forecast.js'
import { issueForecast, slowAfter, withoutDaysUntil } from './local-outlook.js'
import { cycleWithDay, type DayExtreme, dayNumber, usualC } from './seasonal-cycle.js'
import { type SeasonalSpread, spreadOn, spreadWithError } from './seasonal-spread.js'

/** A complete local day of one bed. Days whose figures are provisional or flagged are left out: they count as missed. */
export interface MeasuredDay {
  /** 'YYYY-MM-DD' */
  readonly date: string
  readonly minC: number
  readonly maxC: number
  /** mean of the day's last three hours, °C; null: not measured. Sharpens the next day by about a tenth. */
  readonly eveningC: number | null
}

/** A relation trusts single days a little less than their spread says: consecutive forecasts err alike. */
const RELATION_CAUTION = 1.5

/**
 * The state after one more measured day. Days left out between are taken as missed.
 *
 * @throws RangeError  a day not after the last one (recompute from the first day then), figures that are not finite,
 *                     or a maximum below the minimum
 */
export function withDay(state: LocalForecastState, measured: MeasuredDay): LocalForecastState {
  const day = dayNumber(measured.date)
  const { minC, maxC, eveningC } = measured
  if (!Number.isFinite(minC) || !Number.isFinite(maxC) || maxC < minC) {
    throw new RangeError(`${measured.date}: minimum ${minC} °C and maximum ${maxC} °C are not a day's`)
  }
  if (eveningC !== null && !Number.isFinite(eveningC)) {
    throw new RangeError(`${measured.date}: the evening's temperature is ${eveningC}; unmeasured is null`)
  }
  if (state.lastDay !== null && day <= state.lastDay) {
    throw new RangeError(`${measured.date} is not after the last day of this forecast's state`)
  }
  const before = withoutDaysUntil(state, day - 1)
  const measuredC = { min: minC, max: maxC }
  const verified = verify(before, day, measuredC)
  const anomaliesBefore = (extreme: DayExtreme): number =>
    measuredC[extreme] - usualC(verified.cycles[extreme], day)
  const around = perExtreme((extreme) =>
    spreadWithError(verified.around[extreme], day, anomaliesBefore(extreme)),
  )
  const cycles = {
    min: cycleWithDay(verified.cycles.min, day, minC, spreadOn(around.min, day)),
    max: cycleWithDay(verified.cycles.max, day, maxC, spreadOn(around.max, day)),
    evening:
      eveningC === null
        ? verified.cycles.evening
        : cycleWithDay(verified.cycles.evening, day, eveningC, spreadOn(around.min, day)),
  }
  const anomalyC = perExtreme((extreme) => measuredC[extreme] - usualC(cycles[extreme], day))
  const isFirst = verified.missedDays === null
  const next: LocalForecastState = {
    ...verified,
    lastDay: day,
    measuredDays: verified.measuredDays + 1,
    missedDays: 0,
    around,
    cycles,
    anomalyC,
    previousAnomalyC: isFirst ? anomalyC : verified.anomalyC,
    slowAnomalyC: slowAfter(verified.slowAnomalyC, anomalyC),
    eveningAnomalyC: eveningC === null ? null : eveningC - usualC(cycles.evening, day),
  }
  const stillOpen = verified.issued.filter((forecast) => forecast.day + LEAD_DAYS > day)
  return { ...next, issued: [...stillOpen, issueForecast(next, day)] }
}

/** All days at once, ascending. Equal to `withDay` one by one. */
export const withDays = (state: LocalForecastState, days: Iterable<MeasuredDay>): LocalForecastState => {
  let current = state
  for (const day of days) current = withDay(current, day)
  return current
}

/** Holds the earlier forecasts of a day against what was measured. */
function verify(state: LocalForecastState, day: number, measuredC: ByExtreme<number>): LocalForecastState {
  const relations: Record<DayExtreme, LinearLearner[]> = {
    min: [...state.relations.min],
    max: [...state.relations.max],
  }
  const errors: Record<DayExtreme, SeasonalSpread[]> = {
    min: [...state.errors.min],
    max: [...state.errors.max],
  }
  const widths: Record<DayExtreme, number[]> = { min: [...state.widths.min], max: [...state.widths.max] }
  const links: Record<DayExtreme, ErrorLink[]> = { min: [...state.links.min], max: [...state.links.max] }
  const issued = state.issued.map((forecast): IssuedForecast => {
    const at = day - forecast.day - 1
    if (!forecast.isMeasured || at < 0 || at >= LEAD_DAYS) return forecast
    const errorSds = perExtreme((extreme) => {
      const errorC = measuredC[extreme] - forecast.meanC[extreme][at]!
      const sdC = forecast.sdC[extreme][at]!
      const errorSd = errorC / sdC
      const anomalyC = measuredC[extreme] - usualC(state.cycles[extreme], day)
      relations[extreme][at] = learned(
        relations[extreme][at]!,
        forecast.predictors,
        anomalyC,
        Math.max(sdC * sdC, 1) * RELATION_CAUTION,
      )
      errors[extreme][at] = spreadWithError(errors[extreme][at]!, day, errorC)
      widths[extreme][at] = widthAfter(widths[extreme][at]!, errorSd)
      const previous = at > 0 ? forecast.errorSds[extreme][at - 1]! : null
      if (previous !== null) {
        links[extreme][at - 1] = linkWithErrors(links[extreme][at - 1]!, previous, errorSd)
      }
      return forecast.errorSds[extreme].with(at, errorSd)
    })
    return { ...forecast, errorSds }
  })
  return { ...state, relations, errors, widths, links, issued }
}
