/** A skyline as the grower draws it: corner points, or a fence of some height at some distance. */
import { SECTORS, sectorMiddleDeg } from './skyline.js'

export interface SkylinePoint {
  /** clockwise from north */
  readonly azimuthDeg: number
  /** height of what stands there, deg above the level, 0 to 90 */
  readonly elevationDeg: number
}

/** A straight fence, hedge or wall. */
export interface Fence {
  /** its top above the bed's sensor, m */
  readonly heightM: number
  /** shortest distance from the sensor, m */
  readonly distanceM: number
  /** direction from the sensor to its nearest point, clockwise from north */
  readonly directionDeg: number
  /** how far it reaches to the left and to the right of that point, seen from the sensor, m; left out: without end */
  readonly leftM?: number
  readonly rightM?: number
}

/** Height by sector; NaN where nothing is drawn. */
export type DrawnSkyline = Float64Array

const RAD = Math.PI / 180

const turned = (deg: number): number => ((((deg + 180) % 360) + 360) % 360) - 180

/**
 * Heights between corner points, straight from one to the next in order of azimuth. The stretch that spans more than
 * half the sky between two points is not drawn (a fence from east to south says nothing about the north), unless the
 * points go all the way round.
 *
 * @throws RangeError  for angles that are not finite or a height outside 0 to 90
 */
export function drawnFromPoints(points: readonly SkylinePoint[]): DrawnSkyline {
  const drawn = new Float64Array(SECTORS).fill(Number.NaN)
  for (const { azimuthDeg, elevationDeg } of points) {
    if (!Number.isFinite(azimuthDeg) || !(elevationDeg >= 0 && elevationDeg <= 90)) {
      throw new RangeError(`not a point of a skyline: azimuth ${azimuthDeg}°, height ${elevationDeg}°`)
    }
  }
  const sorted = points
    .map((p) => ({ ...p, azimuthDeg: ((p.azimuthDeg % 360) + 360) % 360 }))
    .sort((a, b) => a.azimuthDeg - b.azimuthDeg)
  for (const [i, from] of sorted.entries()) {
    const to = sorted[(i + 1) % sorted.length]!
    const width = (((to.azimuthDeg - from.azimuthDeg) % 360) + 360) % 360
    if (width === 0 || width > 180) continue
    for (let sector = 0; sector < SECTORS; sector++) {
      const along = (((sectorMiddleDeg(sector) - from.azimuthDeg) % 360) + 360) % 360
      if (along <= width) {
        drawn[sector] = from.elevationDeg + ((to.elevationDeg - from.elevationDeg) * along) / width
      }
    }
  }
  return drawn
}

/**
 * Heights of a straight fence: the farther along it, the lower it stands.
 *
 * @throws RangeError  for a distance that is not above 0 or a height below 0
 */
export function drawnFromFence(fence: Fence): DrawnSkyline {
  const { heightM, distanceM, directionDeg } = fence
  if (!(distanceM > 0) || !(heightM >= 0) || !Number.isFinite(directionDeg)) {
    throw new RangeError(`not a fence: ${heightM} m high, ${distanceM} m away, towards ${directionDeg}°`)
  }
  const leftDeg = fence.leftM === undefined ? 90 : Math.atan2(fence.leftM, distanceM) / RAD
  const rightDeg = fence.rightM === undefined ? 90 : Math.atan2(fence.rightM, distanceM) / RAD
  const drawn = new Float64Array(SECTORS).fill(Number.NaN)
  for (let sector = 0; sector < SECTORS; sector++) {
    const aside = turned(sectorMiddleDeg(sector) - directionDeg)
    if (aside < -leftDeg || aside > rightDeg || Math.abs(aside) >= 90) continue
    drawn[sector] = Math.atan((heightM / distanceM) * Math.cos(aside * RAD)) / RAD
  }
  return drawn
}

/** Several drawings in one: the highest speaks. */
export function drawnTogether(drawings: readonly DrawnSkyline[]): DrawnSkyline {
  const together = new Float64Array(SECTORS).fill(Number.NaN)
  for (const drawn of drawings) {
    for (let sector = 0; sector < SECTORS; sector++) {
      const height = drawn[sector]!
      if (!Number.isNaN(height) && !(together[sector]! >= height)) together[sector] = height
    }
  }
  return together
}
