/**
 * The forecast from a bed's own days alone: usual course of the year, plus what is left of the present anomaly.
 *
 * Tomorrow's departure from the usual is a linear function of the last days' departures: minimum and maximum of the
 * last two days, their decaying mean, and the last evening. It starts as damped persistence and is corrected by every
 * day that passes; its errors, seen day by day, are its spread. Nothing later than a day enters that day's forecast.
 *
 * State is a value (plain numbers, so it survives JSON): `newLocalForecast` → `withDay` per day → `outlook`.
 * Sources: Murphy 1992, Wea. Forecasting 7:692 (damped persistence); Glahn & Lowry 1972, J. Appl. Meteor. 11:1203
 * (regression on what is known at issue).
 */
import { addDays, daysBetween } from '../../../shared/local-time.js'
import type { Place } from '../readings.js'
import { type ErrorLink, linkCorrelation, newErrorLink } from './error-link.js'
import { type LinearLearner, linearLearner, valueAt } from './linear-learner.js'
import type { TemperatureOdds } from './normal-odds.js'
import {
  cycleFromNormals,
  cycleFromPlace,
  type DayExtreme,
  dayNumber,
  type MonthlyNormals,
  usualC,
  usualVariance,
} from './seasonal-cycle.js'
import { type SeasonalSpread, seasonalSpread, spreadOn } from './seasonal-spread.js'

/** Days ahead. Beyond the third a forecast from one bed says no more than the time of year does. */
export const LEAD_DAYS = 3

/** Lag-1 autocorrelation of daily temperature anomalies believed beforehand (0.6 to 0.75 at most places). */
export const BELIEVED_PERSISTENCE = 0.65
/** Variance of single days around the usual believed beforehand, °C²: 3 °C by the sea, 6 °C on the plains. */
export const BELIEVED_VARIANCE = 18
/** How far a weight may be from damped persistence (standard deviation, °C per °C). */
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

/** One day to come, whoever forecast it. */
export interface ExtremesOdds {
  readonly date: string
  /** days after the one in which the forecast was made: 1 is tomorrow */
  readonly leadDays: number
  readonly maxC: TemperatureOdds
  readonly minC: TemperatureOdds
}

/** One day to come as the bed's own past tells it. */
export interface DayOdds extends ExtremesOdds {
  /** days of this time of year as they usually are: what the forecast is held against */
  readonly usualMaxC: TemperatureOdds
  readonly usualMinC: TemperatureOdds
}

export interface Outlook {
  readonly days: readonly DayOdds[]
  /** correlation of the errors of one day's maximum with the next day's, for warm spells; one fewer than days */
  readonly maxLinks: readonly number[]
  /** how many measured days it rests on */
  readonly measuredDays: number
  /** days since the newest measured one (0: it is the last day); null: nothing was ever measured */
  readonly missedDays: number | null
}

const perLead = <T>(make: (lead: number) => T): T[] =>
  Array.from({ length: LEAD_DAYS }, (_, i) => make(i + 1))
const perExtreme = <T>(make: (extreme: DayExtreme) => T): ByExtreme<T> => ({
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

/** Index of the evening among the predictors. */
const EVENING = 6
/** How far an unmeasured evening may be from midway between the extremes' departures, °C. */
const UNMEASURED_EVENING_SD = 2

/** What the forecast is made of, °C from the usual. An unmeasured evening is taken midway between the extremes. */
function predictorsOf(state: LocalForecastState): number[] {
  const { anomalyC, previousAnomalyC, slowAnomalyC, eveningAnomalyC } = state
  return [
    anomalyC.min,
    anomalyC.max,
    previousAnomalyC.min,
    previousAnomalyC.max,
    slowAnomalyC.min,
    slowAnomalyC.max,
    eveningAnomalyC ?? (anomalyC.min + anomalyC.max) / 2,
  ]
}

/** The variance of a forecast: its errors so far, widening to the usual scatter of days as the last measurement ages. */
function forecastVariance(state: LocalForecastState, extreme: DayExtreme, lead: number, day: number): number {
  const freshness = state.missedDays === null ? 0 : BELIEVED_PERSISTENCE ** state.missedDays
  const fromErrors = spreadOn(state.errors[extreme][lead - 1]!, day)
  const fromScatter = spreadOn(state.around[extreme], day)
  // as far as the forecast leans on the usual course, not knowing that course counts
  const leaning = 1 - BELIEVED_PERSISTENCE ** lead * freshness
  const trust = freshness * freshness
  const eveningSd =
    state.eveningAnomalyC === null && state.missedDays === 0
      ? state.relations[extreme][lead - 1]!.weights[EVENING]! * UNMEASURED_EVENING_SD
      : 0
  return (
    eveningSd * eveningSd +
    trust * fromErrors +
    (1 - trust) * Math.max(fromScatter, fromErrors) +
    leaning * leaning * usualVariance(state.cycles[extreme], day)
  )
}

/** The forecast made at the end of `state.lastDay`, as it is kept for learning. */
export function issueForecast(state: LocalForecastState, lastDay: number): IssuedForecast {
  const predictors = predictorsOf(state)
  return {
    day: lastDay,
    isMeasured: state.missedDays === 0,
    predictors,
    meanC: perExtreme((extreme) =>
      perLead(
        (lead) =>
          usualC(state.cycles[extreme], lastDay + lead) +
          valueAt(state.relations[extreme][lead - 1]!, predictors),
      ),
    ),
    sdC: perExtreme((extreme) =>
      perLead((lead) => Math.sqrt(forecastVariance(state, extreme, lead, lastDay + lead))),
    ),
    errorSds: perExtreme(() => perLead(() => null)),
  }
}

function usualOdds(state: LocalForecastState, extreme: DayExtreme, day: number): TemperatureOdds {
  const cycle = state.cycles[extreme]
  return {
    meanC: usualC(cycle, day),
    sdC: Math.sqrt(spreadOn(state.around[extreme], day) + usualVariance(cycle, day)),
    atLeastC: null,
    atMostC: null,
  }
}

/**
 * The three days after `lastDate`, from all days up to it that the state has seen.
 *
 * @param lastDate  the last complete local day; the state may end earlier (unmeasured days follow), never later
 * @throws RangeError  the state already knows days after `lastDate`
 */
export function outlook(state: LocalForecastState, lastDate: string): Outlook {
  const lastDay = dayNumber(lastDate)
  const current = withoutDaysUntil(state, lastDay)
  const issued = issueForecast(current, lastDay)
  const odds = (extreme: DayExtreme, lead: number): TemperatureOdds => ({
    meanC: issued.meanC[extreme][lead - 1]!,
    sdC: issued.sdC[extreme][lead - 1]! * current.widths[extreme][lead - 1]!,
    atLeastC: null,
    atMostC: null,
  })
  return {
    days: perLead((lead) => ({
      date: addDays(lastDate, lead),
      leadDays: lead,
      maxC: odds('max', lead),
      minC: odds('min', lead),
      usualMaxC: usualOdds(current, 'max', lastDay + lead),
      usualMinC: usualOdds(current, 'min', lastDay + lead),
    })),
    maxLinks: current.links.max.map(linkCorrelation),
    measuredDays: current.measuredDays,
    missedDays: current.missedDays,
  }
}

/** A gap this long leaves nothing of the anomaly; walking through more days would change no figure. */
const FORGOTTEN_DAYS = 120

/** The state carried over days without measurement up to and including `lastDay`: the anomaly fades as forecast. */
export function withoutDaysUntil(state: LocalForecastState, lastDay: number): LocalForecastState {
  if (state.lastDay === null) return { ...state, lastDay }
  if (state.lastDay > lastDay) {
    throw new RangeError(
      `the forecast has seen day ${state.lastDay}, after day ${lastDay} (days since 2000-01-01)`,
    )
  }
  let current = state
  const skipped = lastDay - state.lastDay - FORGOTTEN_DAYS
  if (skipped > 0) {
    const none = perExtreme(() => 0)
    current = {
      ...state,
      lastDay: state.lastDay + skipped,
      missedDays: state.missedDays === null ? null : state.missedDays + skipped,
      anomalyC: none,
      previousAnomalyC: none,
      slowAnomalyC: none,
      eveningAnomalyC: null,
      issued: [],
    }
  }
  for (let day = (current.lastDay ?? lastDay) + 1; day <= lastDay; day++) {
    const predictors = predictorsOf(current)
    const relations = current.relations
    const anomalyC = perExtreme((extreme) => valueAt(relations[extreme][0]!, predictors))
    current = {
      ...current,
      lastDay: day,
      missedDays: current.missedDays === null ? null : current.missedDays + 1,
      anomalyC,
      previousAnomalyC: current.anomalyC,
      slowAnomalyC: slowAfter(current.slowAnomalyC, anomalyC),
      eveningAnomalyC: null,
    }
  }
  return current
}

/** Part of the newest anomaly in the slow one: a memory of about ten days. */
const SLOW_STEP = 0.1

export const slowAfter = (slowC: ByExtreme<number>, anomalyC: ByExtreme<number>): ByExtreme<number> =>
  perExtreme((extreme) => slowC[extreme] + SLOW_STEP * (anomalyC[extreme] - slowC[extreme]))

/** Spread of a day that is not over, °C. */
export interface ExpectedDay {
  readonly minC: number
  readonly maxC: number
  readonly eveningC: number
  readonly minSdC: number
  readonly maxSdC: number
  readonly eveningSdC: number
  /** 0 (early: the evening follows the day) to 1 (it is there: it speaks for itself) */
  readonly eveningIsNear: number
}

/**
 * The days after one that is still running: as if it ended as expected, and wider by what is not known of it.
 * Nothing is learned from such a day.
 *
 * @throws RangeError  the state already knows that day
 */
export function outlookAfterExpected(
  state: LocalForecastState,
  date: string,
  expected: ExpectedDay,
): Outlook {
  const day = dayNumber(date)
  const before = withoutDaysUntil(state, day - 1)
  const expectedC = { min: expected.minC, max: expected.maxC }
  const anomalyC = perExtreme((extreme) => expectedC[extreme] - usualC(before.cycles[extreme], day))
  const asEnded: LocalForecastState = {
    ...before,
    lastDay: day,
    missedDays: 0,
    anomalyC,
    previousAnomalyC: before.missedDays === null ? anomalyC : before.anomalyC,
    slowAnomalyC: slowAfter(before.slowAnomalyC, anomalyC),
    eveningAnomalyC:
      expected.eveningIsNear * (expected.eveningC - usualC(before.cycles.evening, day)) +
      (1 - expected.eveningIsNear) * ((anomalyC.min + anomalyC.max) / 2),
  }
  const after = outlook(asEnded, date)
  const widened = (odds: TemperatureOdds, extreme: DayExtreme, lead: number): TemperatureOdds => {
    const { weights } = asEnded.relations[extreme][lead - 1]!
    // the day enters as itself and through the slow mean
    const byMin = weights[0]! + SLOW_STEP * weights[4]!
    const byMax = weights[1]! + SLOW_STEP * weights[5]!
    const parts = [byMin * expected.minSdC, byMax * expected.maxSdC, weights[EVENING]! * expected.eveningSdC]
    const apart = parts.reduce((total, part) => total + part * part, 0)
    const together = parts.reduce((total, part) => total + part, 0) ** 2
    // the parts of a day err half together
    return { ...odds, sdC: Math.sqrt(odds.sdC ** 2 + (apart + together) / 2) }
  }
  return {
    ...after,
    days: after.days.map((one) => ({
      ...one,
      maxC: widened(one.maxC, 'max', one.leadDays),
      minC: widened(one.minC, 'min', one.leadDays),
    })),
  }
}

/** Calendar days the state is behind a date; null: it has seen none. */
export const daysBehind = (state: LocalForecastState, date: string): number | null =>
  state.lastDay === null ? null : daysBetween('2000-01-01', date) - state.lastDay
