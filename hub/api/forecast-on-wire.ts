/** Forecasts in the form they have on the wire. */
import type { BedForecast, ForecastDay, PublicForecastStatus } from '../../shared/api/forecast.js'
import { isoWithOffset } from '../../shared/local-time.js'
import type { ExtremesOdds } from '../core/forecast/local-outlook.js'
import { chanceAbove, chanceBelow, interval80 } from '../core/forecast/normal-odds.js'
import type { BedAhead, PublicStatus } from '../forecast/port.js'
import { instantOrNull } from './figures.js'

const FREEZING_C = 0
/** 80 °F, above which growers see heads stay loose */
const HOT_C = 27

const dayOnWire = ({ date, leadDays, minC, maxC }: ExtremesOdds): ForecastDay => ({
  date,
  leadDays,
  airTempMinC: interval80(minC),
  airTempMaxC: interval80(maxC),
  chanceOfFrost: chanceBelow(minC, FREEZING_C),
  chanceAbove27C: chanceAbove(maxC, HOT_C),
})

export function bedForecastOnWire(ahead: BedAhead, timeZone: string): BedForecast {
  const { bed, forecast, words, isFresh, publicSource } = ahead
  const common = {
    bed,
    words,
    isFresh,
    publicSource: publicSource?.name ?? null,
    attribution: publicSource?.attribution ?? null,
  }
  if (!forecast) {
    const course = { time: [], lowC: [], middleC: [], highC: [] }
    return { ...common, source: 'none', issuedAt: null, restsOn: 0, days: [], course }
  }
  const { timeMs, lowC, middleC, highC } = forecast.course
  return {
    ...common,
    source: forecast.source,
    issuedAt: isoWithOffset(forecast.issuedAtMs, timeZone),
    restsOn: forecast.restsOn,
    days: forecast.days.map(dayOnWire),
    course: { time: timeMs.map((ms) => ms / 1000), lowC, middleC, highC },
  }
}

export const publicStatusOnWire = (
  status: PublicStatus,
  nowMs: number,
  timeZone: string,
): PublicForecastStatus => ({
  source: status.source,
  attribution: status.attribution,
  state: status.state,
  issuedAt: instantOrNull(status.issuedAtMs, timeZone),
  fetchedAt: instantOrNull(status.fetchedAtMs, timeZone),
  ageS: status.issuedAtMs === null ? null : Math.round((nowMs - status.issuedAtMs) / 1000),
  nextTryAt: instantOrNull(status.nextTryAtMs, timeZone),
  problem: status.problem,
  time: status.points.map(({ validAtMs }) => validAtMs / 1000),
  airTempC: status.points.map(({ airTempC }) => airTempC),
})
