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

/** The library is asked every five minutes; between three such moments a parabola is drawn. */
const NODE_MS = 300_000

/**
 * Positions of the sun at many instants, within 0.005° of sunPosition (0.04° below 3° of elevation, where refraction
 * bends fast): what a reading gets depends on its time alone, not on the readings around it.
 *
 * @param timeMs  ascending, for speed
 */
export function sunPath(timeMs: Float64Array, place: Place): SunPath {
  const elevationDeg = new Float64Array(timeMs.length)
  const azimuthDeg = new Float64Array(timeMs.length)
  const toNode = makeNodes(place)
  let node = Number.NaN
  let before = NOWHERE
  let here = NOWHERE
  let after = NOWHERE
  for (let i = 0; i < timeMs.length; i++) {
    const position = timeMs[i]! / NODE_MS
    const nearest = Math.round(position)
    if (nearest !== node) {
      before = nearest - 1 === node ? here : toNode(nearest - 1)
      here = nearest - 1 === node ? after : toNode(nearest)
      after = toNode(nearest + 1)
      node = nearest
    }
    const t = position - nearest
    const first = (t * (t - 1)) / 2
    const middle = 1 - t * t
    const last = (t * (t + 1)) / 2
    // near the zenith both angles leap; the direction in space does not
    const east = first * before.east + middle * here.east + last * after.east
    const north = first * before.north + middle * here.north + last * after.north
    const up = first * before.up + middle * here.up + last * after.up
    elevationDeg[i] = Math.atan2(up, Math.sqrt(east * east + north * north)) / RAD
    const azimuth = Math.atan2(east, north) / RAD
    azimuthDeg[i] = azimuth < 0 ? azimuth + 360 : azimuth
  }
  return { elevationDeg, azimuthDeg }
}

interface Node {
  readonly east: number
  readonly north: number
  readonly up: number
}

const NOWHERE: Node = { east: 0, north: 0, up: 0 }
const RAD = Math.PI / 180

const makeNodes =
  (place: Place) =>
  (index: number): Node => {
    const { elevationDeg, azimuthDeg } = sunPosition(index * NODE_MS, place)
    const level = Math.cos(elevationDeg * RAD)
    return {
      east: level * Math.sin(azimuthDeg * RAD),
      north: level * Math.cos(azimuthDeg * RAD),
      up: Math.sin(elevationDeg * RAD),
    }
  }
