/** Light of a bed under a made-up sky: clear and dull days, and what stands around. In lux, as a sensor with a gain says it. */
import type { Place } from '../../hub/core/readings.js'
import { haurwitzWm2 } from '../../hub/core/sun/clear-sky.js'
import { sunPosition } from '../../hub/core/sun/position.js'

const DAY_MS = 86_400_000

/** Is this hour of this day under clouds? Every fourth day is, and some hours of the others. */
export function isDull(timeMs: number): boolean {
  const day = Math.floor(timeMs / DAY_MS)
  if (day % 4 === 0) return true
  const hour = Math.floor(timeMs / 3_600_000) % 24
  return (day * 7 + hour * 5) % 11 === 0
}

/** @param skyline  height of what stands around, deg, by azimuth */
export const bedLux =
  (place: Place, skyline: (azimuthDeg: number) => number, gain = 1) =>
  (timeMs: number): number => {
    const { elevationDeg, azimuthDeg } = sunPosition(timeMs, place)
    if (elevationDeg <= 0) return 0
    const clear = 107 * haurwitzWm2(elevationDeg)
    const isSunny = !isDull(timeMs) && elevationDeg > skyline(azimuthDeg)
    return Math.round(clear * (isSunny ? 1 : 0.16) * gain)
  }
