/** The days to come from a public forecast corrected to one bed: daily extremes with their odds. */
import { addDays, daysBetween, localDate, localDay } from '../../../shared/local-time.js'
import type { ExtremesOdds } from './local-outlook.js'
import {
  type CorrectionState,
  corrected,
  type ForecastPoint,
  newCorrection,
  withForecast,
  withTruth,
} from './public-correction.js'

/** One state for each daily extreme. */
export interface ExtremesCorrection {
  readonly max: CorrectionState
  readonly min: CorrectionState
}

export const newExtremesCorrection = (): ExtremesCorrection => ({
  max: newCorrection(),
  min: newCorrection(),
})

/** A local day of a public forecast. */
export interface PublicDay {
  readonly date: string
  /** first instant of the day, UTC ms */
  readonly startMs: number
  readonly minC: number
  readonly maxC: number
}

const HOUR_MS = 3_600_000
/** Services give hourly values for two days or so, then six-hourly ones. A day with a wider hole is left out. */
const WIDEST_STEP_MS = 6 * HOUR_MS

/**
 * The local days that a series of forecast points covers whole. Six-hourly points miss the extremes by a degree or
 * two; that is part of what the correction learns.
 *
 * @param points  ascending in time
 */
export function publicDays(points: readonly ForecastPoint[], timeZone: string): PublicDay[] {
  const first = points[0]
  const last = points.at(-1)
  if (!first || !last) return []
  const days: PublicDay[] = []
  const firstDate = localDate(first.validAtMs, timeZone)
  const count = daysBetween(firstDate, localDate(last.validAtMs, timeZone))
  for (let i = 0; i <= count; i++) {
    const { date, startMs, endMs } = localDay(addDays(firstDate, i), timeZone)
    const inside = points.filter((point) => point.validAtMs >= startMs && point.validAtMs < endMs)
    const edges = [startMs, ...inside.map((point) => point.validAtMs), endMs]
    const isWhole =
      inside.length > 0 && edges.every((ms, k) => k === 0 || ms - edges[k - 1]! <= WIDEST_STEP_MS)
    if (!isWhole) continue
    const values = inside.map((point) => point.airTempC)
    days.push({ date, startMs, minC: Math.min(...values), maxC: Math.max(...values) })
  }
  return days
}

export interface CorrectedOutlook {
  readonly days: readonly ExtremesOdds[]
  /** correlation of the errors of one day's maximum with the next day's; one fewer than days */
  readonly maxLinks: readonly number[]
  /** forecasts for tomorrow's maximum that have come due: what the correction rests on */
  readonly verified: number
}

/**
 * Errors of a weather model on consecutive days go together much less than those of persistence: 0.21 between the
 * 24 h and 48 h errors of one ECMWF run (Magdeburg, 2002–2014, 12 UTC, after correction).
 */
export const MODEL_ERROR_LINK = 0.2

const extremePoints = (days: readonly PublicDay[], of: 'minC' | 'maxC'): ForecastPoint[] =>
  days.map((day) => ({ validAtMs: day.startMs, airTempC: day[of] }))

/** Days wholly ahead, in the bed. */
export function correctedOutlook(
  state: ExtremesCorrection,
  issuedAtMs: number,
  days: readonly PublicDay[],
  timeZone: string,
): CorrectedOutlook {
  const ahead = days.filter((day) => day.startMs > issuedAtMs)
  const today = localDate(issuedAtMs, timeZone)
  const max = corrected(state.max, issuedAtMs, extremePoints(ahead, 'maxC'))
  const min = corrected(state.min, issuedAtMs, extremePoints(ahead, 'minC'))
  return {
    days: ahead.map(({ date }, i) => ({
      date,
      leadDays: daysBetween(today, date),
      maxC: max[i]!.odds,
      minC: min[i]!.odds,
    })),
    maxLinks: ahead.slice(1).map(() => MODEL_ERROR_LINK),
    verified: max[0]?.verified ?? 0,
  }
}

/** The state that waits for these days. */
export const withPublicDays = (
  state: ExtremesCorrection,
  issuedAtMs: number,
  days: readonly PublicDay[],
): ExtremesCorrection => ({
  max: withForecast(state.max, issuedAtMs, extremePoints(days, 'maxC')),
  min: withForecast(state.min, issuedAtMs, extremePoints(days, 'minC')),
})

/** The state after a local day has been measured whole. */
export const withMeasuredExtremes = (
  state: ExtremesCorrection,
  startMs: number,
  measured: { readonly minC: number; readonly maxC: number },
): ExtremesCorrection => ({
  max: withTruth(state.max, startMs, measured.maxC),
  min: withTruth(state.min, startMs, measured.minC),
})
