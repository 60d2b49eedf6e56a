/** A grower's drawing of a skyline as heights by sector. Pure. */
import type { DrawnSkylineInput, SkylineFence } from '../../shared/api/sun.js'
import {
  type DrawnSkyline,
  drawnFromFence,
  drawnFromPoints,
  drawnTogether,
} from '../core/sun/drawn-skyline.js'

const RAD = Math.PI / 180

/** Of several things in one direction the highest counts. */
export const drawnSkyline = ({ points, fences }: DrawnSkylineInput): DrawnSkyline =>
  drawnTogether([drawnFromPoints(points), ...fences.map(drawnFence)])

/** Degrees from the nearest point of a fence to one of its ends, in the way that end lies; 0 to 360. */
export const toLeftEndDeg = ({ directionDeg, leftEndDeg }: SkylineFence): number | null =>
  leftEndDeg === null ? null : (directionDeg - leftEndDeg + 720) % 360
export const toRightEndDeg = ({ directionDeg, rightEndDeg }: SkylineFence): number | null =>
  rightEndDeg === null ? null : (rightEndDeg - directionDeg + 720) % 360

/** A straight line never comes round farther than this. */
export const FENCE_REACH_DEG = 90

function drawnFence(fence: SkylineFence): DrawnSkyline {
  const { heightM, distanceM, directionDeg } = fence
  const alongM = (deg: number): number => distanceM * Math.tan(deg * RAD)
  const left = toLeftEndDeg(fence)
  const right = toRightEndDeg(fence)
  return drawnFromFence({
    heightM,
    distanceM,
    directionDeg,
    ...(left !== null && left < FENCE_REACH_DEG && { leftM: alongM(left) }),
    ...(right !== null && right < FENCE_REACH_DEG && { rightM: alongM(right) }),
  })
}
