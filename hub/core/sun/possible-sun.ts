/** Sun hours that a cloudless sky would give. */
import type { Place } from '../readings.js'
import { sunPosition } from './position.js'

/**
 * Apparent elevation below which no reading counts as sun. In clear air direct light exceeds 120 W/m² from about 2° on
 * (Lyngby, three months), on a mountain from 1.3° (Alamosa, 2300 m).
 */
export const LOWEST_SUN_DEG = 1.5

/**
 * Apparent elevation from which a clear sky may be expected to give sun: as in the WMO's pyranometric method (WMO-No. 8,
 * ch. 8; Olivieri). At Lyngby half of the clear mornings and evenings had direct light above 120 W/m² there.
 */
export const POSSIBLE_FROM_DEG = 3

/** Elevation, deg, above which the sun must stand to be seen at an azimuth (deg clockwise from north). */
export type Horizon = (azimuthDeg: number) => number

const STEP_MS = 180_000

/**
 * Time with the sun above POSSIBLE_FROM_DEG and above the horizon given, h.
 *
 * @param horizon  what stands around; left out: nothing
 */
export function possibleSunHours(fromMs: number, toMs: number, place: Place, horizon?: Horizon): number {
  if (!(toMs > fromMs)) return 0
  const marginDeg = (timeMs: number): number => {
    const { elevationDeg, azimuthDeg } = sunPosition(timeMs, place)
    return elevationDeg - Math.max(POSSIBLE_FROM_DEG, horizon?.(azimuthDeg) ?? -90)
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
