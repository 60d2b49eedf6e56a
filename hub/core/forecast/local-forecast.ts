/**
 * The forecast from a bed's own days alone: usual course of the year, plus what is left of the present anomaly.
 *
 * Tomorrow's departure from the usual is a linear function of the last days' departures: minimum and maximum of the
 * last two days, their decaying mean, and the last evening. It starts as damped persistence and is corrected by every
 * day that passes; its errors, seen day by day, are its spread. Nothing later than a day enters that day's forecast.
 *
 * State is a value (plain numbers, so it survives JSON): `newLocalForecast` → `withDay` per day → `outlook`.
 * This folder holds all forecasting of a bed's air, pure; bed-forecast.ts joins it for the hub. It imports the sun,
 * day and quality parts of the core, and shared/local-time.ts for local days.
 * Sources: Murphy 1992, Wea. Forecasting 7:692 (damped persistence); Glahn & Lowry 1972, J. Appl. Meteor. 11:1203
 * (regression on what is known at issue).
 */
import type { Place } from '../readings.js'
import { type ErrorLink, newErrorLink } from './error-link.js'
import { type LinearLearner, linearLearner } from './linear-learner.js'
import { cycleFromNormals, cycleFromPlace, type DayExtreme, type MonthlyNormals } from './seasonal-cycle.js'
import { type SeasonalSpread, seasonalSpread } from './seasonal-spread.js'

/** Days ahead. Beyond the third a forecast from one bed says no more than the time of year does. */
export const LEAD_DAYS = 3

/** Lag-1 autocorrelation of daily temperature anomalies believed beforehand (0.6 to 0.75 at most places). */
export const BELIEVED_PERSISTENCE = 0.65
/** Variance of single days around the usual believed beforehand, °C²: 3 °C by the sea, 6 °C on the plains. */
export const BELIEVED_VARIANCE = 18
/**
 * How far a weight may be from damped persistence (standard deviation, °C per °C), one day ahead. Tried from 0.1 to
 * 0.4 on Seattle, Manhattan in Kansas and Magdeburg: no matter there, but a first year wants the freedom.
 */
const WEIGHT_SD = 0.25

export type ByExtreme<T> = Readonly<Record<DayExtreme, T>>

/** What a forecast was made of and said; kept until its days have been measured. */
export interface IssuedForecast {
  /** last day it knew of */
  readonly day: number
  /** was that day measured? A forecast across a gap is not learned from. */
  readonly isMeasured: boolean
  readonly predictors: readonly number[]
  /** by lead, °C */
  readonly meanC: ByExtreme<readonly number[]>
  /** by lead, °C, before the interval factor */
  readonly sdC: ByExtreme<readonly number[]>
  /** by lead, in standard deviations; null: that day has not been measured */
  readonly errorSds: ByExtreme<readonly (number | null)[]>
}

export interface LocalForecastState {
  /** newest day accounted for; null: none yet */
  readonly lastDay: number | null
  readonly measuredDays: number
  /** days without measurement since the newest measured one; null: none was ever measured */
  readonly missedDays: number | null
  readonly cycles: ByExtreme<LinearLearner> & { readonly evening: LinearLearner }
  /** departures from the usual on the last day and the one before, and their decaying mean, °C */
  readonly anomalyC: ByExtreme<number>
  readonly previousAnomalyC: ByExtreme<number>
  readonly slowAnomalyC: ByExtreme<number>
  /** null: the last evening was not measured */
  readonly eveningAnomalyC: number | null
  /** by lead */
  readonly relations: ByExtreme<readonly LinearLearner[]>
  readonly errors: ByExtreme<readonly SeasonalSpread[]>
  readonly widths: ByExtreme<readonly number[]>
  /** between the errors of lead k and k + 1 */
  readonly links: ByExtreme<readonly ErrorLink[]>
  /** single days around the usual */
  readonly around: ByExtreme<SeasonalSpread>
  readonly issued: readonly IssuedForecast[]
}

export const perLead = <T>(make: (lead: number) => T): T[] =>
  Array.from({ length: LEAD_DAYS }, (_, i) => make(i + 1))
export const perExtreme = <T>(make: (extreme: DayExtreme) => T): ByExtreme<T> => ({
  min: make('min'),
  max: make('max'),
})

/** Damped persistence of the bed's own anomaly; order of predictors as in `predictorsOf`. */
function believedRelation(extreme: DayExtreme, lead: number): LinearLearner {
  const own = BELIEVED_PERSISTENCE ** lead
  const weights = extreme === 'min' ? [own, 0, 0, 0, 0, 0, 0] : [0, own, 0, 0, 0, 0, 0]
  return linearLearner(
    weights,
    weights.map(() => WEIGHT_SD * BELIEVED_PERSISTENCE ** (lead - 1)),
  )
}

/**
 * The state before the first day.
 *
 * @param normals  the region's monthly normals where the grower knows them; null: the latitude has to do
 */
export function newLocalForecast(place: Place, normals: MonthlyNormals | null = null): LocalForecastState {
  const cycle = (extreme: DayExtreme): LinearLearner =>
    normals === null
      ? cycleFromPlace(place, extreme)
      : cycleFromNormals(extreme === 'min' ? normals.minC : normals.maxC)
  const min = cycle('min')
  const max = cycle('max')
  const halfway = min.weights.map((weight, i) => (weight + max.weights[i]!) / 2)
  const none = perExtreme(() => 0)
  return {
    lastDay: null,
    measuredDays: 0,
    missedDays: null,
    cycles: { min, max, evening: { weights: halfway, covariance: min.covariance } },
    anomalyC: none,
    previousAnomalyC: none,
    slowAnomalyC: none,
    eveningAnomalyC: null,
    relations: perExtreme((extreme) => perLead((lead) => believedRelation(extreme, lead))),
    errors: perExtreme(() =>
      perLead((lead) => seasonalSpread(BELIEVED_VARIANCE * (1 - BELIEVED_PERSISTENCE ** (2 * lead)))),
    ),
    widths: perExtreme(() => perLead(() => 1)),
    links: perExtreme(() => perLead(newErrorLink).slice(1)),
    around: perExtreme(() => seasonalSpread(BELIEVED_VARIANCE)),
    issued: [],
  }
}
