/**
 * What a light sensor says over what is, learned from its own clear moments: cheap sensors are off by 20 % and more
 * under their domes, and dirt, a leaf or a tilt changes them.
 *
 * Under a clear sky the light follows the sun smoothly, so the ratio to a clear sky's light stands still for an hour
 * and more, at the same value day after day: the gain. Stretches under an even cover of cloud or in steady shade
 * stand still too, but lower and each at another value. So the gain is the highest value at which steady
 * stretches gather.
 */
import {
  CHANGE_DAYS,
  type ClearLevel,
  clearLevels,
  GATHER,
  HIGH_SUN_DEG,
  highest,
  LOW_SUN_DEG,
  medianLevel,
  scatter,
  steadyStretches,
} from './clear-levels.js'
import type { SunSeries } from './sun-series.js'

export interface SensorGain {
  /** what the sensor says over what is, at a time; 1 until learned */
  readonly at: (timeMs: number) => number
  /** the newest value; null: not learned, no clear stretch seen yet */
  readonly latest: number | null
  /** one standard deviation of the newest value, relative: how the clear days scatter, and how clear air varies */
  readonly uncertainty: number
  /** days with clear stretches that the newest value rests on */
  readonly clearDays: number
  /** level before noon over level after noon on clear days; null: not both seen. Far from 1, the sensor leans */
  readonly morningOverAfternoon: number | null
  /** lasting changes of the gain (dirt, a leaf on the dome, a tilt, a cleaning), oldest first */
  readonly changes: readonly GainChange[]
}

export interface GainChange {
  /** between the last clear day before and the first one after */
  readonly afterMs: number
  readonly beforeMs: number
  readonly from: number
  readonly to: number
}

const DAY_MS = 86_400_000

/** Clear days scatter by 3 % (standard deviation, Lyngby and Alamosa): haze comes and goes. */
const AIR_SCATTER = 0.03
/** Relative doubt of a sensor nobody has calibrated: data sheets of common lux sensors say 20 %, domes add to it. */
const UNLEARNED_UNCERTAINTY = 0.25
/** Clear levels this old count 1/e. */
const MEMORY_DAYS = 25

/** A change is lasting from CHANGE_DAYS clear days on each side on, and from this size. */
const CHANGE_LEAST = 0.12
/** Two clear days will do for a change that no air makes. */
const LARGE_CHANGE_DAYS = 2
const LARGE_CHANGE = 0.2

/** Learns a sensor's gain from readings of one placement, days to months of them. */
export function learnGain(series: SunSeries): SensorGain {
  let stretches = steadyStretches(series, HIGH_SUN_DEG)
  let levels = clearLevels(stretches)
  if (levels.length === 0) {
    stretches = steadyStretches(series, LOW_SUN_DEG)
    levels = clearLevels(stretches)
  }
  if (levels.length === 0) {
    return {
      at: () => 1,
      latest: null,
      uncertainty: UNLEARNED_UNCERTAINTY,
      clearDays: 0,
      morningOverAfternoon: null,
      changes: [],
    }
  }
  const regimes = splitRegimes(levels)
  const changes: GainChange[] = []
  for (let i = 1; i < regimes.length; i++) {
    const before = regimes[i - 1]!
    const after = regimes[i]!
    changes.push({
      afterMs: before.at(-1)!.timeMs,
      beforeMs: after[0]!.timeMs,
      from: medianLevel(before),
      to: medianLevel(after),
    })
  }
  const newest = regimes.at(-1)!
  const latestMs = newest.at(-1)!.timeMs
  const at = (timeMs: number): number => {
    let regime = regimes[0]!
    // a change takes hold half way between the clear days around it
    for (let i = 1; i < regimes.length; i++) {
      if (timeMs > (changes[i - 1]!.afterMs + changes[i - 1]!.beforeMs) / 2) regime = regimes[i]!
    }
    return smoothedLevel(regime, timeMs)
  }
  return {
    at: byDay(at),
    latest: at(latestMs),
    uncertainty: Math.hypot(AIR_SCATTER, scatter(newest)) / Math.sqrt(newest.length) + 0.01,
    clearDays: newest.length,
    morningOverAfternoon: leanOf(stretches, newest),
    changes,
  }
}

const LEAN_STRETCHES = 3

/** Steady stretches before noon against those after it, near the clear level. */
function leanOf(stretches: readonly ClearLevel[], regime: readonly ClearLevel[]): number | null {
  const center = medianLevel(regime)
  const fromMs = regime[0]!.timeMs - DAY_MS / 2
  const near = stretches.filter((s) => s.timeMs >= fromMs && Math.abs(s.level / center - 1) < 0.35)
  const before = near.filter((s) => s.isMorning)
  const after = near.filter((s) => !s.isMorning)
  if (before.length < LEAN_STRETCHES || after.length < LEAN_STRETCHES) return null
  return medianLevel(before) / medianLevel(after)
}

/** The gain moves by the day, not by the minute: one evaluation a day. */
function byDay(at: (timeMs: number) => number): (timeMs: number) => number {
  const known = new Map<number, number>()
  return (timeMs) => {
    const day = Math.floor(timeMs / DAY_MS)
    let gain = known.get(day)
    if (gain === undefined) {
      gain = at((day + 0.5) * DAY_MS)
      known.set(day, gain)
    }
    return gain
  }
}

/** Cuts the clear levels where they change for good. */
function splitRegimes(levels: readonly ClearLevel[]): ClearLevel[][] {
  let best = { at: -1, size: 0 }
  for (let at = LARGE_CHANGE_DAYS; at <= levels.length - LARGE_CHANGE_DAYS; at++) {
    const sideDays = Math.min(at, levels.length - at)
    const least = sideDays >= CHANGE_DAYS ? CHANGE_LEAST : LARGE_CHANGE
    const before = levels.slice(Math.max(0, at - 8), at)
    const after = levels.slice(at, at + 8)
    const from = medianLevel(before)
    const to = medianLevel(after)
    const size = Math.abs(Math.log(to / from))
    const noise = Math.hypot(scatter(before), scatter(after), AIR_SCATTER)
    const isApart = to < from ? highest(after) < from * (1 - GATHER) : highest(before) < to * (1 - GATHER)
    if (size > least && size > 3 * noise && isApart && size > best.size) best = { at, size }
  }
  if (best.at < 0) return [[...levels]]
  return [...splitRegimes(levels.slice(0, best.at)), ...splitRegimes(levels.slice(best.at))]
}

function smoothedLevel(regime: readonly ClearLevel[], timeMs: number): number {
  const center = medianLevel(regime)
  let sum = 0
  let weight = 0
  for (const { timeMs: atMs, level, minutes } of regime) {
    if (Math.abs(level / center - 1) > 2 * GATHER) continue
    const w = Math.min(minutes, 180) * Math.exp(-Math.abs(timeMs - atMs) / (MEMORY_DAYS * DAY_MS))
    sum += w * level
    weight += w
  }
  return weight > 0 ? sum / weight : center
}
