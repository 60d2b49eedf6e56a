/** A bed's light with the sun's place beside each reading: what states, gain and skyline are computed from. */
import type { Place } from '../readings.js'
import type { BedLight } from './bed-light.js'
import { sunPath } from './position.js'
import { referenceSky } from './reference-sky.js'

export interface SunSeries extends BedLight {
  readonly elevationDeg: Float64Array
  readonly azimuthDeg: Float64Array
  /** light relative to a clear sky's, as the sensor says (no gain taken off); 0 with the sun below CLEAR_FROM_DEG */
  readonly clearRatio: Float64Array
}

/** Below this the clear sky is too dim to divide by. */
export const CLEAR_FROM_DEG = 1

/** Sun positions and clear light for every reading. */
export function sunSeries(light: BedLight, place: Place): SunSeries {
  const { elevationDeg, azimuthDeg } = sunPath(light.timeMs, place)
  const sky = referenceSky(place.elevationM)
  const clearRatio = new Float64Array(light.timeMs.length)
  for (let i = 0; i < clearRatio.length; i++) {
    const elevation = elevationDeg[i]!
    if (elevation < CLEAR_FROM_DEG) continue
    clearRatio[i] = Math.max(0, light.irradianceWm2[i]!) / sky.clearWm2(elevation, light.timeMs[i]!)
  }
  return { ...light, elevationDeg, azimuthDeg, clearRatio }
}
