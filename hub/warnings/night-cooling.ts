/**
 * How cold a clear night may become, from its first hours. On calm, clear nights the air near the ground cools
 * with the square root of the time that has passed since two hours after sunset.
 *
 *   T(t) = T₂ + b √(t − t₂),   t₂ = sunset + 2 h
 *
 * Source: Snyder & de Melo-Abreu 2005, Frost protection: fundamentals, practice, and economics, vol. 1, FAO,
 * the temperature trend model. There b comes from a predicted minimum; here from the bed's own readings since t₂,
 * which are a fit for this bed and this night. Clouds or wind coming up stop the cooling: what is found is
 * possible, not likely.
 */
import { isGood } from '../../shared/quality-flags.js'
import type { ReadingColumns } from '../core/readings.js'

const HOUR_MS = 3_600_000
/** Before this much of the night is known, a slope says little. */
const NEEDED_MS = 1.5 * HOUR_MS
/** T₂ is the mean of the readings this near to t₂. */
const AROUND_START_MS = 15 * 60_000
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
  const around: number[] = []
  let products = 0
  let squares = 0
  let n = 0
  let latestC = Number.NaN
  const since: { root: number; valueC: number }[] = []
  for (let i = 0; i < airTemp.timeMs.length; i++) {
    const timeMs = airTemp.timeMs[i]!
    if (timeMs > nowMs || !isGood(airTemp.flags[i]!)) continue
    const valueC = airTemp.value[i]!
    if (Math.abs(timeMs - startMs) <= AROUND_START_MS) around.push(valueC)
    if (timeMs <= startMs) continue
    since.push({ root: Math.sqrt((timeMs - startMs) / HOUR_MS), valueC })
    latestC = valueC
  }
  if (around.length === 0 || since.length < NEEDED_READINGS) return null
  const startC = around.reduce((sum, v) => sum + v, 0) / around.length
  for (const { root, valueC } of since) {
    products += root * (valueC - startC)
    squares += root * root
    n++
  }
  const slope = n > 0 ? products / squares : 0
  if (!(slope < 0)) return null
  return { lowestC: coolingCurveC(startC, slope, (sunriseMs - startMs) / HOUR_MS), startC, latestC }
}
