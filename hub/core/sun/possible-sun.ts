/** Sun hours that a cloudless sky would give. */
import type { Place } from '../readings.js'
import { sunPosition } from './position.js'

/**
 * Apparent elevation below which even a clear sun stays under the 120 W/m² of the WMO definition. The WMO's
 * pyranometric method (WMO-No. 8, ch. 8; Olivieri, Météo-France) does not count below 3° either; in clear
 * air sunshine was measured from 2° on, in hazy air from 4° on, which is some minutes a day.
 */
export const LOWEST_SUN_DEG = 3

/** Elevation, deg, above which the sun must stand to be seen at an azimuth (deg clockwise from north). */
export type Horizon = (azimuthDeg: number) => number

const STEP_MS = 180_000

/**
 * Time with the sun above 3° and above the horizon given, h.
 *
 * @param horizon  what stands around; left out: nothing
 */
export function possibleSunHours(fromMs: number, toMs: number, place: Place, horizon?: Horizon): number {
  if (!(toMs > fromMs)) return 0
  const marginDeg = (timeMs: number): number => {
    const { elevationDeg, azimuthDeg } = sunPosition(timeMs, place)
    return elevationDeg - Math.max(LOWEST_SUN_DEG, horizon?.(azimuthDeg) ?? -90)
  }
  const steps = Math.max(1, Math.ceil((toMs - fromMs) / STEP_MS))
  const stepMs = (toMs - fromMs) / steps
  let before = marginDeg(fromMs)
  let sunnySteps = 0
  for (let i = 1; i <= steps; i++) {
    const after = marginDeg(fromMs + i * stepMs)
    if (before > 0 && after > 0) sunnySteps += 1
    else if (before > 0 || after > 0) sunnySteps += Math.max(before, after) / Math.abs(before - after)
    before = after
  }
  return (sunnySteps * stepMs) / 3_600_000
}
