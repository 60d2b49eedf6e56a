/** Sun hours that a cloudless sky would give. */
import type { Place } from '../readings.js'
import { sunPath } from './position.js'

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

/** The sun moves 0.75° at most in this time; what is between is taken as straight. */
const STEP_MS = 180_000
const HOUR_MS = 3_600_000

export interface PossibleSun {
  /** possible sun hours between two moments of the stretch it was made for */
  hoursBetween(fromMs: number, toMs: number): number
}

/**
 * Possible sun of a stretch of time (a day, as a rule): time with the sun above POSSIBLE_FROM_DEG and above each of
 * the horizons given. One result per horizon; the sun's path is computed once.
 *
 * @param horizons  what stands around; undefined: nothing
 */
export function possibleSun(
  fromMs: number,
  toMs: number,
  place: Place,
  horizons: readonly (Horizon | undefined)[],
): PossibleSun[] {
  const steps = Math.max(1, Math.ceil((toMs - fromMs) / STEP_MS))
  const stepMs = Math.max(0, toMs - fromMs) / steps
  const path = sunPath(
    Float64Array.from({ length: steps + 1 }, (_, i) => fromMs + i * stepMs),
    place,
  )
  const margins = horizons.map((horizon) => {
    const margin = path.elevationDeg.map((elevation) => elevation - POSSIBLE_FROM_DEG)
    if (horizon === undefined) return margin
    for (let i = 0; i <= steps; i++) {
      // far below the horizon what stands around does not matter
      if (margin[i]! < -5) continue
      const height = horizon(path.azimuthDeg[i]!)
      if (height > POSSIBLE_FROM_DEG) margin[i] = path.elevationDeg[i]! - height
    }
    return margin
  })
  return margins.map((margin) => {
    // sun[i]: possible sun from the start to step i, in steps
    const sun = new Float64Array(steps + 1)
    for (let i = 1; i <= steps; i++) sun[i] = sun[i - 1]! + sunnyPart(margin[i - 1]!, margin[i]!, 0, 1)
    const until = (timeMs: number): number => {
      const position = stepMs > 0 ? Math.min(steps, Math.max(0, (timeMs - fromMs) / stepMs)) : 0
      const i = Math.min(steps - 1, Math.floor(position))
      return sun[i]! + sunnyPart(margin[i]!, margin[i + 1]!, 0, position - i)
    }
    return {
      hoursBetween: (a, b) => (b > a ? ((until(b) - until(a)) * stepMs) / HOUR_MS : 0),
    }
  })
}

/** Part of a step, from one part of it to another, in which a margin that changes straight is above 0. */
function sunnyPart(before: number, after: number, from: number, to: number): number {
  if (before > 0 && after > 0) return to - from
  if (before <= 0 && after <= 0) return 0
  const crossing = before / (before - after)
  return before > 0 ? Math.max(0, Math.min(to, crossing) - from) : Math.max(0, to - Math.max(from, crossing))
}

/** Possible sun hours of a stretch of time. @param horizon  what stands around; left out: nothing */
export function possibleSunHours(fromMs: number, toMs: number, place: Place, horizon?: Horizon): number {
  if (!(toMs > fromMs)) return 0
  const [possible] = possibleSun(fromMs, toMs, place, [horizon])
  return possible!.hoursBetween(fromMs, toMs)
}
