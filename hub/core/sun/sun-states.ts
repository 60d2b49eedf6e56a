/**
 * Sun, cloud, shade or night, reading by reading, from one level light sensor.
 */
import type { SunState } from '../../../shared/api/measurements.js'
import type { Place } from '../readings.js'
import type { BedLight } from './bed-light.js'
import { sunPath } from './position.js'
import { LOWEST_SUN_DEG } from './possible-sun.js'
import { olivieriThresholdWm2 } from './sunshine-methods.js'

/** Index of a state in the columns of sunStates. */
export const SUN_STATES: readonly SunState[] = ['unknown', 'night', 'shade', 'cloud', 'sun']
export const NIGHT = 1
export const CLOUD = 3
export const SUN = 4

/** Elevation of the centre at sunrise and sunset: 34′ refraction, 16′ half the sun's width; apparent, so −16′. */
const HORIZON_DEG = -0.27

/** State (index in SUN_STATES) of every reading. */
export function sunStates(light: BedLight, place: Place): Uint8Array {
  const states = new Uint8Array(light.timeMs.length)
  const { elevationDeg } = sunPath(light.timeMs, place)
  for (let i = 0; i < states.length; i++) {
    const elevation = elevationDeg[i]!
    if (elevation < HORIZON_DEG) states[i] = NIGHT
    else if (elevation <= LOWEST_SUN_DEG) states[i] = CLOUD
    // at the ceiling the true light is at least this, and a ceiling is bright: sun more often than not
    else if (light.isCeiling[i] === 1) states[i] = SUN
    else {
      const dayOfYear = (light.timeMs[i]! / 86_400_000) % 365.2425
      states[i] = light.irradianceWm2[i]! > olivieriThresholdWm2(elevation, dayOfYear) ? SUN : CLOUD
    }
  }
  return states
}
