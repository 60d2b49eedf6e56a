/**
 * Published ways to tell sunshine (direct irradiance above 120 W/m², WMO-No. 8 ch. 8) from global irradiance
 * alone. Our own (sun-states.ts) is measured against them.
 */
import { extraterrestrialNormalWm2 } from './clear-sky.js'

const RAD = Math.PI / 180
const YEAR_DAYS = 365

/**
 * Global irradiance above which the sun shines, W/m²; Infinity at 3° and below. Olivieri (Météo-France,
 * Carpentras), as in WMO-No. 8 ch. 8 and Vuerich et al. 2012 (WMO/TD IOM 109). Made for latitude 44° N.
 *
 * @param dayOfYear  1 to 366
 */
export function olivieriThresholdWm2(elevationDeg: number, dayOfYear: number): number {
  if (elevationDeg <= 3) return Number.POSITIVE_INFINITY
  const season = 0.73 + 0.06 * Math.cos((2 * Math.PI * dayOfYear) / YEAR_DAYS)
  return season * 1080 * Math.sin(elevationDeg * RAD) ** 1.25
}

/** Direct light relative to outside the atmosphere, by turbidity (Kasten's beam term as Slob & Monna use it). */
const beamTerm = (linkeTurbidity: number, sine: number): number =>
  Math.exp(-linkeTurbidity / (0.9 + 9.4 * sine))

/**
 * Part of a ten-minute interval with sunshine, 0 to 1. Slob & Monna 1991 (KNMI TR-136), as in the annex of
 * WMO-No. 8 ch. 8; the text from memory.
 *
 * @param sine  sine of the sun's elevation
 * @param mean  mean global irradiance of the interval, W/m²; with its lowest and highest value
 */
export function slobMonnaFraction(sine: number, mean: number, lowest: number, highest: number): number {
  if (sine < 0.1) return 0
  const outside = 1367 * sine
  if (sine < 0.3) return mean / outside <= 0.2 + sine / 3 + beamTerm(6, sine) ? 0 : 1
  const clear = 0.3 + beamTerm(10, sine)
  if (highest / outside < 0.4) return 0
  if (lowest / outside > clear) return 1
  if (highest / outside > clear && highest - lowest < 0.1 * outside) return 1
  const diffuse = Math.min((1.2 * lowest) / outside, 0.4)
  return Math.min(1, Math.max(0, (mean / outside - diffuse) / beamTerm(4, sine)))
}

/** Step method in its simple form: sunshine above 0.4 of the light outside the atmosphere. From memory. */
export function stepMethodThresholdWm2(elevationDeg: number, timeMs: number): number {
  return Math.max(0, 0.4 * extraterrestrialNormalWm2(timeMs) * Math.sin(elevationDeg * RAD))
}
