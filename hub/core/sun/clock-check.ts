/** Is a node's clock off? Light comes and goes with the sun; a clock that is an hour off moves both, the same way. */
import type { SunSeries } from './sun-series.js'

export interface ClockOffset {
  /** how far the node's clock is ahead of the sun's (behind: negative), minutes */
  readonly offsetMinutes: number
  /** days on which both dawn and dusk said so */
  readonly days: number
}

/** Dawn and dusk by this light, 107 lx: the sun stands near −1° under most skies, in shade 2° higher. */
const DUSK_WM2 = 1
const DUSK_SUN_DEG = -1
/** A crossing is timed between readings no farther apart. */
const LONGEST_STEP_MS = 20 * 60_000
const FARTHEST_DEG = 35
/** Dawn and dusk must agree within this; hills in the east and a lamp in the evening do not. */
const AGREE_MINUTES = 40
const MINUTE_MS = 60_000
const LONGEST_DAY_MS = 22 * 3_600_000

/**
 * Offset of the node's clock, from at least three days with dawn and dusk; null: not enough of them. Shade and weather
 * blur it by some ten minutes; take half an hour and more for a wrong clock.
 */
export function clockOffset(series: SunSeries): ClockOffset | null {
  const { timeMs, irradianceWm2, elevationDeg } = series
  const offsets: number[] = []
  let dawn: { timeMs: number; offsetMinutes: number } | null = null
  for (let i = 1; i < timeMs.length; i++) {
    const stepMs = timeMs[i]! - timeMs[i - 1]!
    const wasDark = irradianceWm2[i - 1]! < DUSK_WM2
    const isDark = irradianceWm2[i]! < DUSK_WM2
    if (wasDark === isDark || stepMs > LONGEST_STEP_MS) continue
    const elevation = (elevationDeg[i - 1]! + elevationDeg[i]!) / 2
    const degPerMinute = ((elevationDeg[i]! - elevationDeg[i - 1]!) / stepMs) * MINUTE_MS
    if (Math.abs(elevation) > FARTHEST_DEG || Math.abs(degPerMinute) < 0.03) continue
    const offsetMinutes = (elevation - DUSK_SUN_DEG) / degPerMinute
    if (wasDark && degPerMinute > 0) {
      dawn ??= { timeMs: timeMs[i]!, offsetMinutes }
    } else if (isDark && degPerMinute < 0 && dawn !== null) {
      const isSameDay = timeMs[i]! - dawn.timeMs < LONGEST_DAY_MS
      if (isSameDay && Math.abs(offsetMinutes - dawn.offsetMinutes) <= AGREE_MINUTES) {
        offsets.push((offsetMinutes + dawn.offsetMinutes) / 2)
      }
      dawn = null
    }
  }
  if (offsets.length < 3) return null
  offsets.sort((a, b) => a - b)
  return { offsetMinutes: offsets[offsets.length >> 1]!, days: offsets.length }
}
