/**
 * How cold a clear night may become, from its first hours. On calm, clear nights the air near the ground cools
 * with the square root of the time that has passed since two hours after sunset.
 *
 *   T(t) = T₂ + b √(t − t₂),   t₂ = sunset + 2 h
 *
 * Source: Snyder & de Melo-Abreu 2005, Frost protection: fundamentals, practice, and economics, vol. 1, FAO,
 * the temperature trend model. There b comes from a predicted minimum; here from the bed's own readings since t₂,
 * fitted by least squares together with T₂: a curve for this bed and this night. Clouds or wind coming up stop the cooling: what is found is
 * possible, not likely. On a year of half-hourly and a summer of hourly records (a forest and an orchard) the
 * minimum came out 0.1 to 0.5 °C too warm in the median, and between −1.2 and +2.7 °C on four nights of five; of the
 * nights announced below a limit, two in three went there, most of them known 2 to 4 hours ahead.
 */
import { isGood } from '../../shared/quality-flags.js'
import type { ReadingColumns } from '../core/readings.js'

const HOUR_MS = 3_600_000
/** Before this much of the night is known, a slope says little. */
const NEEDED_MS = 1.5 * HOUR_MS
const NEEDED_READINGS = 4

/** Air temperature hours after the start by the square-root law, °C. @param slope °C per √h */
export const coolingCurveC = (startC: number, slope: number, hoursSinceStart: number): number =>
  startC + slope * Math.sqrt(hoursSinceStart)

export interface NightOutlook {
  /** at sunrise, °C */
  readonly lowestC: number
  /** two hours after sunset, °C */
  readonly startC: number
  /** newest reading used, °C */
  readonly latestC: number
}

/**
 * @param airTemp  of the bed, °C
 * @returns        null: too early, too few readings, or the air is not cooling
 */
export function nightOutlook(
  airTemp: ReadingColumns,
  sunsetMs: number,
  sunriseMs: number,
  nowMs: number,
): NightOutlook | null {
  const startMs = sunsetMs + 2 * HOUR_MS
  if (nowMs < startMs + NEEDED_MS || nowMs >= sunriseMs) return null
  let n = 0
  let sumRoot = 0
  let sumC = 0
  let sumRootC = 0
  let sumSquares = 0
  let latestC = Number.NaN
  for (let i = 0; i < airTemp.timeMs.length; i++) {
    const timeMs = airTemp.timeMs[i]!
    if (timeMs < startMs || timeMs > nowMs || !isGood(airTemp.flags[i]!)) continue
    const valueC = airTemp.value[i]!
    const root = Math.sqrt((timeMs - startMs) / HOUR_MS)
    n++
    sumRoot += root
    sumC += valueC
    sumRootC += root * valueC
    sumSquares += root * root
    latestC = valueC
  }
  if (n < NEEDED_READINGS) return null
  const spread = sumSquares - (sumRoot * sumRoot) / n
  const slope = spread > 0 ? (sumRootC - (sumRoot * sumC) / n) / spread : 0
  const startC = (sumC - slope * sumRoot) / n
  if (!(slope < 0)) return null
  return { lowestC: coolingCurveC(startC, slope, (sunriseMs - startMs) / HOUR_MS), startC, latestC }
}
