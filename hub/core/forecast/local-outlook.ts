/** What the local forecast says: the days after the last one its state knows of. */
import { addDays } from '../../../shared/local-time.js'
import { linkCorrelation } from './error-link.js'
import { valueAt } from './linear-learner.js'
import {
  BELIEVED_PERSISTENCE,
  type ByExtreme,
  type IssuedForecast,
  type LocalForecastState,
  perExtreme,
  perLead,
} from './local-forecast.js'
import type { TemperatureOdds } from './normal-odds.js'
import { type DayExtreme, dayNumber, usualC, usualVariance } from './seasonal-cycle.js'
import { spreadOn } from './seasonal-spread.js'

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

/** Index of the evening among the predictors. */
export const EVENING = 6
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

/** Part of the newest anomaly in the slow one: a memory of about ten days (0.03 to 0.2 tried: no matter). */
export const SLOW_STEP = 0.1

export const slowAfter = (slowC: ByExtreme<number>, anomalyC: ByExtreme<number>): ByExtreme<number> =>
  perExtreme((extreme) => slowC[extreme] + SLOW_STEP * (anomalyC[extreme] - slowC[extreme]))
