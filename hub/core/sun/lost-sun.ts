/** Where and when a bed loses its sun: to what stands around it, and to the weather. */
import type { LocalDay } from '../../../shared/local-time.js'
import type { Place } from '../readings.js'
import type { DaySun } from './day-sun.js'
import { sunPosition } from './position.js'
import { POSSIBLE_FROM_DEG } from './possible-sun.js'
import { horizonOf, type Skyline } from './skyline.js'

export interface LostSpan {
  readonly fromMs: number
  readonly toMs: number
  /** where the sun stands then, clockwise from north */
  readonly fromAzimuthDeg: number
  readonly toAzimuthDeg: number
}

const STEP_MS = 120_000
/** Shorter than this is a twig. */
const LEAST_MS = 6 * 60_000

/** When, on a day, the sun would shine on open ground but stands behind the bed's skyline. */
export function lostSun(day: LocalDay, place: Place, skyline: Skyline): LostSpan[] {
  const horizon = horizonOf(skyline.elevationDeg)
  const spans: LostSpan[] = []
  let open: { fromMs: number; fromAzimuthDeg: number } | null = null
  let last = { timeMs: day.startMs, azimuthDeg: 0 }
  for (let timeMs = day.startMs; timeMs <= day.endMs; timeMs += STEP_MS) {
    const { elevationDeg, azimuthDeg } = sunPosition(timeMs, place)
    const isLost = elevationDeg > POSSIBLE_FROM_DEG && elevationDeg < horizon(azimuthDeg)
    if (isLost && open === null) open = { fromMs: timeMs, fromAzimuthDeg: azimuthDeg }
    if (!isLost && open !== null) {
      if (last.timeMs - open.fromMs >= LEAST_MS) {
        spans.push({ ...open, toMs: last.timeMs, toAzimuthDeg: last.azimuthDeg })
      }
      open = null
    }
    last = { timeMs, azimuthDeg }
  }
  if (open !== null && last.timeMs - open.fromMs >= LEAST_MS) {
    spans.push({ ...open, toMs: last.timeMs, toAzimuthDeg: last.azimuthDeg })
  }
  return spans
}

export interface SunBudget {
  /** means over the days, h a day; days without light readings are left out */
  readonly sunHours: number
  /** open sky, hidden by cloud */
  readonly cloudHours: number
  /** behind the skyline */
  readonly shadeHours: number
  readonly unknownHours: number
  readonly days: number
}

/** What became of the daylight of some days. null: none of them has light readings. */
export function sunBudget(days: readonly DaySun[]): SunBudget | null {
  const known = days.filter((day) => day.sunHours !== null)
  if (known.length === 0) return null
  const hours = (state: string): number =>
    known.reduce(
      (sum, day) =>
        sum + day.segments.reduce((s, seg) => s + (seg.state === state ? seg.toMs - seg.fromMs : 0), 0),
      0,
    ) /
    known.length /
    3_600_000
  return {
    sunHours: hours('sun'),
    cloudHours: hours('cloud'),
    shadeHours: hours('shade'),
    unknownHours: hours('unknown'),
    days: known.length,
  }
}

/**
 * Is a bed short of sun because of what stands around it, because of the weather, or both? Below the hours needed with
 * a clear sky as well: the place. Enough with a clear sky: the weather.
 */
export function whyShort(
  budget: SunBudget,
  possibleSunHours: number,
  neededHours: number,
): 'enough' | 'weather' | 'place' {
  if (budget.sunHours >= neededHours) return 'enough'
  return possibleSunHours < neededHours ? 'place' : 'weather'
}
