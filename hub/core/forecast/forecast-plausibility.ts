/** Is a public forecast fit to be listened to? A service that hangs repeats itself, and a broken one says anything. */
import type { ForecastPoint } from './public-correction.js'

const HOUR_MS = 3_600_000
/** No screen has measured air outside this: −89.2 °C (Vostok 1983) and 56.7 °C (Death Valley 1913), WMO records. */
const COLDEST_C = -90
const WARMEST_C = 57
/** Air does not keep one value through a day and a night, even in whole degrees; a feed that hangs does. */
const FLAT_FOR_MS = 24 * HOUR_MS
/** Faster than this over an hour or more air hardly changes; a mix-up of units or places does. */
const FASTEST_C_PER_HOUR = 12

/**
 * Why a forecast should not be used, in words for the grower; null: nothing speaks against it.
 *
 * @param points  as the service sent them
 */
export function whyImplausible(points: readonly ForecastPoint[]): string | null {
  if (points.length === 0) return 'the forecast is empty'
  let flatSinceMs = points[0]!.validAtMs
  for (const [i, point] of points.entries()) {
    const { validAtMs, airTempC } = point
    if (!Number.isFinite(validAtMs) || !Number.isFinite(airTempC)) return 'a value of the forecast is missing'
    if (airTempC < COLDEST_C || airTempC > WARMEST_C) return `it forecasts ${airTempC} °C`
    const before = points[i - 1]
    if (!before) continue
    const hours = (validAtMs - before.validAtMs) / HOUR_MS
    if (hours <= 0) return 'its times do not run forwards'
    const changeC = Math.abs(airTempC - before.airTempC)
    if (changeC > FASTEST_C_PER_HOUR * Math.max(hours, 1)) {
      return `it jumps from ${before.airTempC} to ${airTempC} °C within ${hours} h`
    }
    if (changeC !== 0) flatSinceMs = validAtMs
    else if (validAtMs - flatSinceMs >= FLAT_FOR_MS) {
      return `it stays at exactly ${airTempC} °C for a day or more: the service seems to hang`
    }
  }
  return null
}
