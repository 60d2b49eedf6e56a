/** Directions in words and across a picture. Pure. */
import { COMPASS_POINTS } from '../../../shared/compass.js'

/** The sixteen points of the compass with their azimuths, for choosing and for tables. */
export const COMPASS: readonly { readonly azimuthDeg: number; readonly name: string }[] = COMPASS_POINTS.map(
  (name, i) => ({ azimuthDeg: i * 22.5, name }),
)

/**
 * Place of an azimuth across a picture of the whole horizon, 0 to 1. The noon sun stands in the middle: south on the
 * northern half of the Earth, north on the southern, as the grower sees it facing that way.
 */
export function acrossPanorama(azimuthDeg: number, latitudeDeg: number): number {
  const leftDeg = latitudeDeg >= 0 ? 0 : 180
  return ((((azimuthDeg - leftDeg) % 360) + 360) % 360) / 360
}
