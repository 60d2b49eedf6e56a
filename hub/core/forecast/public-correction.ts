/**
 * A public forecast corrected to one bed: what the bed usually adds to it, by hour of the day and by days ahead,
 * learned from every forecast that has come due, and how far off it still is after that.
 *
 * For each day ahead a Kalman filter holds the difference bed − forecast: a level, a daily and a half-daily wave (a
 * bed by a south wall is warmer at noon, not at night), and a slope on how warm the forecast is for the time. Its
 * drift makes it forget like a decaying average of about two weeks. State is a value of plain numbers; feed it in the
 * order of time: `withForecast` when one is issued, `withTruth` when a reading comes due.
 *
 * The same filter serves hourly values and daily extremes: keep one state for each.
 * Sources: Homleid 1995, Wea. Forecasting 10:689 (Kalman filter by hour of day); Galanis & Anadranistakis 2002,
 * Meteorol. Appl. 9:437; Cui et al. 2012, Wea. Forecasting 27:396 (decaying average).
 */
import { widthAfter } from './interval-width.js'
import { type LinearLearner, learned, linearLearner, valueAt, varianceAt } from './linear-learner.js'
import type { TemperatureOdds } from './normal-odds.js'

export interface ForecastPoint {
  /** UTC ms; for daily extremes the start of the day */
  readonly validAtMs: number
  readonly airTempC: number
}

export interface CorrectedPoint {
  readonly validAtMs: number
  readonly rawC: number
  readonly odds: TemperatureOdds
  /** forecasts of this many days ahead that have come due so far: how much the correction rests on */
  readonly verified: number
}

interface PendingPoint {
  readonly validAtMs: number
  readonly daysAhead: number
  readonly rawC: number
  /** how warm the forecast is for its hour, °C */
  readonly warmthC: number
  readonly meanC: number
  /** from not knowing the bias yet, °C² */
  readonly biasVariance: number
  readonly sdC: number
}

interface LeadState {
  readonly bias: LinearLearner
  /** by class of the day: decaying mean of the forecast itself, °C; null: none yet */
  readonly usualC: readonly (number | null)[]
  /** mean squared error after correction, whole day, °C² */
  readonly variance: number
  readonly verified: number
  /** independent forecasts' worth of what has come due, whole day and by class of the day */
  readonly weight: number
  readonly classVariance: readonly number[]
  readonly classWeight: readonly number[]
  readonly width: number
  readonly lastTruthMs: number | null
}

export interface CorrectionState {
  /** by days ahead: 0 up to 24 h, 1 up to 48 h … */
  readonly leads: readonly LeadState[]
  /** forecasts that have not come due */
  readonly pending: readonly PendingPoint[]
}

const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS
/** Beyond ten days ahead a forecast is treated like one of ten days. */
const LEADS = 10
/** Classes of three hours, in which a bed's spread differs from the day's. */
const CLASSES = 8

/**
 * First belief (standard deviations): a bed is up to a few degrees off its region (level 2 °C), more at some hours
 * (waves 1 and 0.5 °C), and swings with the weather some 15 % more or less than forecast.
 */
const BIAS_SD = [2, 1, 1, 0.5, 0.5, 0.15]
/**
 * Drift a day, °C²: level sqrt(0.01) = 0.1 °C a day. Against errors of 1.5 °C that weighs a new day at about 6 %, in
 * the range 0.02 to 0.1 of the decaying averages in use. Of 0.002 to 0.1 °C² the best at 24 and 48 h (ECMWF, Magdeburg).
 */
const DRIFT = [0.01, 0.005, 0.005, 0.001, 0.001, 0.00001]
/** Errors of a public forecast believed beforehand, °C²: 2 °C on the first day, 3.5 °C on the tenth. */
const believedVariance = (daysAhead: number): number => 4 + 0.9 * daysAhead
/** The first belief about errors weighs ten forecasts; afterwards the last sixty count. */
const BELIEF_WEIGHT = 10
const MEMORY = 60
/** Errors of neighbouring hours are alike: e-folding time. */
const ERRORS_LAST_MS = 6 * HOUR_MS
/** An error beyond four standard deviations is trusted less the farther off it is: it may be the sensor. */
const STRANGE_SDS = 4
/** Part of a new forecast in what is usual for its hour: a month's memory. */
const USUAL_STEP = 1 / 30

const newLead = (daysAhead: number): LeadState => ({
  bias: linearLearner([0, 0, 0, 0, 0, 0], BIAS_SD),
  usualC: new Array<null>(CLASSES).fill(null),
  variance: believedVariance(daysAhead),
  verified: 0,
  weight: 0,
  classVariance: new Array<number>(CLASSES).fill(believedVariance(daysAhead)),
  classWeight: new Array<number>(CLASSES).fill(0),
  width: 1,
  lastTruthMs: null,
})

export const newCorrection = (): CorrectionState => ({
  leads: Array.from({ length: LEADS }, (_, daysAhead) => newLead(daysAhead)),
  pending: [],
})

const partOfDay = (timeMs: number): number => (timeMs - Math.floor(timeMs / DAY_MS) * DAY_MS) / DAY_MS
const classOf = (timeMs: number): number => Math.min(Math.floor(partOfDay(timeMs) * CLASSES), CLASSES - 1)

/** 0 up to 24 hours ahead, 1 up to 48 … */
const daysAheadOf = (issuedAtMs: number, validAtMs: number): number =>
  Math.min(Math.ceil((validAtMs - issuedAtMs) / DAY_MS) - 1, LEADS - 1)

function warmthOf(lead: LeadState, point: ForecastPoint): number {
  const usualC = lead.usualC[classOf(point.validAtMs)]!
  return usualC === null ? 0 : point.airTempC - usualC
}

function predictorsAt(validAtMs: number, warmthC: number): number[] {
  const angle = 2 * Math.PI * partOfDay(validAtMs)
  return [1, Math.cos(angle), Math.sin(angle), Math.cos(2 * angle), Math.sin(2 * angle), warmthC]
}

/** Ten days of hourly points wait in a state: thousandths of a degree are enough of them. */
const inThousandths = (value: number): number => Math.round(value * 1000) / 1000

/** A class's own spread, resting on the day's where it has been seen little. */
function varianceFor(lead: LeadState, validAtMs: number): number {
  const at = classOf(validAtMs)
  const weight = lead.classWeight[at]!
  return (BELIEF_WEIGHT * lead.variance + weight * lead.classVariance[at]!) / (BELIEF_WEIGHT + weight)
}

function pendingPoint(state: CorrectionState, issuedAtMs: number, point: ForecastPoint): PendingPoint {
  const daysAhead = daysAheadOf(issuedAtMs, point.validAtMs)
  const lead = state.leads[daysAhead]!
  const warmthC = inThousandths(warmthOf(lead, point))
  const predictors = predictorsAt(point.validAtMs, warmthC)
  const biasVariance = varianceAt(lead.bias, predictors)
  return {
    validAtMs: point.validAtMs,
    daysAhead,
    rawC: point.airTempC,
    warmthC,
    meanC: inThousandths(point.airTempC + valueAt(lead.bias, predictors)),
    biasVariance: inThousandths(biasVariance),
    sdC: inThousandths(Math.sqrt(varianceFor(lead, point.validAtMs) + biasVariance)),
  }
}

const isAhead = (issuedAtMs: number, point: ForecastPoint): boolean => {
  if (!Number.isFinite(point.validAtMs) || !Number.isFinite(point.airTempC)) {
    throw new RangeError(`a forecast of ${point.airTempC} °C for ${point.validAtMs} is not one`)
  }
  return point.validAtMs > issuedAtMs
}

/**
 * A public forecast as it is to be read in this bed. Points not after the time of issue are left out.
 *
 * @throws RangeError  a point without finite time or temperature
 */
export function corrected(
  state: CorrectionState,
  issuedAtMs: number,
  points: readonly ForecastPoint[],
): CorrectedPoint[] {
  return points
    .filter((point) => isAhead(issuedAtMs, point))
    .map((point) => {
      const { validAtMs, rawC, meanC, sdC, daysAhead } = pendingPoint(state, issuedAtMs, point)
      const { width, verified } = state.leads[daysAhead]!
      return {
        validAtMs,
        rawC,
        odds: { meanC, sdC: sdC * width, atLeastC: null, atMostC: null },
        verified,
      }
    })
}

/**
 * The state that waits for this forecast to come due. Of several for one time and day ahead the newest is kept; those
 * whose truth has not come three days after they were due are given up.
 */
export function withForecast(
  state: CorrectionState,
  issuedAtMs: number,
  points: readonly ForecastPoint[],
): CorrectionState {
  const added = points
    .filter((point) => isAhead(issuedAtMs, point))
    .map((point) => pendingPoint(state, issuedAtMs, point))
  const key = (point: PendingPoint): string => `${point.validAtMs}/${point.daysAhead}`
  const renewed = new Set(added.map(key))
  const leads = [...state.leads]
  for (const point of added) {
    const lead = leads[point.daysAhead]!
    const at = classOf(point.validAtMs)
    const usualC = lead.usualC[at]!
    const next = usualC === null ? point.rawC : usualC + USUAL_STEP * (point.rawC - usualC)
    leads[point.daysAhead] = { ...lead, usualC: lead.usualC.with(at, next) }
  }
  const kept = state.pending.filter(
    (point) => !renewed.has(key(point)) && point.validAtMs > issuedAtMs - 3 * DAY_MS,
  )
  return { leads, pending: [...kept, ...added] }
}

/**
 * The state after the bed's air at a time has been measured; forecasts for exactly that time come due.
 *
 * @param validAtMs  the time the forecast spoke of (for hourly values: mean of the good readings around it)
 * @throws RangeError  a temperature that is not finite
 */
export function withTruth(state: CorrectionState, validAtMs: number, airTempC: number): CorrectionState {
  if (!Number.isFinite(airTempC)) throw new RangeError(`a temperature is needed, not ${airTempC}`)
  const due = state.pending.filter((point) => point.validAtMs === validAtMs)
  if (due.length === 0) return state
  const leads = [...state.leads]
  for (const point of due) {
    leads[point.daysAhead] = leadWithTruth(leads[point.daysAhead]!, point, airTempC)
  }
  return { leads, pending: state.pending.filter((point) => point.validAtMs !== validAtMs) }
}

function leadWithTruth(lead: LeadState, point: PendingPoint, airTempC: number): LeadState {
  const errorC = airTempC - point.meanC
  const errorSds = errorC / point.sdC
  const sinceMs = lead.lastTruthMs === null ? DAY_MS : Math.max(point.validAtMs - lead.lastTruthMs, 0)
  const alike = Math.exp(-sinceMs / ERRORS_LAST_MS)
  // what this truth adds, counted in independent ones: (1 − r) / (1 + r) for errors with correlation r
  const worth = Math.max((1 - alike) / (1 + alike), 0.01)
  const strangeness = Math.max(Math.abs(errorSds) / STRANGE_SDS, 1) ** 2
  const days = sinceMs / DAY_MS
  const at = classOf(point.validAtMs)
  const weight = Math.min(lead.weight + worth, MEMORY)
  const classWeight = Math.min(lead.classWeight[at]! + worth, MEMORY)
  // the error holds what was not known of the bias, which is no property of the forecast
  const square = Math.max((errorC * errorC) / strangeness - point.biasVariance, 0)
  return {
    bias: learned(
      lead.bias,
      predictorsAt(point.validAtMs, point.warmthC),
      airTempC - point.rawC,
      (lead.variance * strangeness) / worth,
      DRIFT.map((perDay) => perDay * Math.min(days, MEMORY)),
    ),
    usualC: lead.usualC,
    variance: lead.variance + (worth / (BELIEF_WEIGHT + weight)) * (square - lead.variance),
    verified: lead.verified + 1,
    weight,
    classVariance: lead.classVariance.with(
      at,
      lead.classVariance[at]! + (worth / (BELIEF_WEIGHT + classWeight)) * (square - lead.classVariance[at]!),
    ),
    classWeight: lead.classWeight.with(at, classWeight),
    width: widthAfter(lead.width, errorSds),
    lastTruthMs: Math.max(point.validAtMs, lead.lastTruthMs ?? point.validAtMs),
  }
}
