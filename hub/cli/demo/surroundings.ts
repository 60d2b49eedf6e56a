/** What stands around a bed, seen from the bed: where it hides the sun, and how much of the sky it leaves. */
import type { Canopy, SkylinePoint } from './beds.js'

const RAD = Math.PI / 180

/** Elevation of the skyline at an azimuth, degrees; points joined by straight lines, around through north. */
export function skylineAt(skyline: readonly SkylinePoint[], azimuthDeg: number): number {
  const after = skyline.findIndex(([azimuth]) => azimuth > azimuthDeg)
  const to = skyline[after === -1 ? 0 : after]!
  const from = skyline.at(after === -1 ? -1 : after - 1)!
  const width = (to[0] - from[0] + 360) % 360 || 360
  const part = ((azimuthDeg - from[0] + 360) % 360) / width
  return from[1] + part * (to[1] - from[1])
}

/** Part of an evenly bright sky's light on the level that the skyline leaves: the mean of cos² of its elevation. */
export function skyViewFactor(skyline: readonly SkylinePoint[]): number {
  let sum = 0
  for (let azimuth = 0; azimuth < 360; azimuth++) sum += Math.cos(skylineAt(skyline, azimuth) * RAD) ** 2
  return sum / 360
}

/** Does the crown of a tree stand before this point of the sky? */
export function isBehindCanopy(canopy: Canopy, azimuthDeg: number, elevationDeg: number): boolean {
  const { fromAzimuthDeg, toAzimuthDeg, fromElevationDeg, toElevationDeg } = canopy
  const width = (toAzimuthDeg - fromAzimuthDeg + 360) % 360
  const inSector = (azimuthDeg - fromAzimuthDeg + 360) % 360 <= width
  return inSector && elevationDeg >= fromElevationDeg && elevationDeg <= toElevationDeg
}
