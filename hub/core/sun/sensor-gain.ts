/**
 * What a light sensor says over what is, learned from its own clear moments: cheap sensors are off by 20 % and more
 * under their domes, and dirt, a leaf or a tilt changes them.
 *
 * Under a clear sky the light follows the sun smoothly, so the ratio to a clear sky's light stands still for an hour
 * and more, at the same value day after day: the gain. Stretches under an even cover of cloud or in steady shade
 * stand still too, but lower and each at another value. So the gain is the highest value at which steady
 * stretches gather.
 */
import { around } from './around.js'
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

/** One day's clear level. */
interface ClearLevel {
  readonly timeMs: number
  readonly level: number
  readonly minutes: number
}

const MINUTE_MS = 60_000
const DAY_MS = 86_400_000

/** Domes and cosine errors act at low sun, the tropics' zenith is as good as any. */
const LOWEST_DEG = 15
/** Steady: the ratio moves by no more than this in 20 min. Noise of 12-bit sensors and thin veils stay within. */
const STEADY = 0.05
const STEADY_HALF_MS = 10 * MINUTE_MS
const SLOW_REPORTS = 2
/** A steady stretch counts from this length on. */
const STRETCH_MS = 30 * MINUTE_MS
const LONGEST_GAP_MS = 31 * MINUTE_MS

/** Gains outside are no sensor in the open: rather shade, or the wrong unit. */
export const LOWEST_GAIN = 0.45
export const HIGHEST_GAIN = 1.7

/** Clear days scatter by 3 % (standard deviation, Lyngby and Alamosa): haze comes and goes. */
const AIR_SCATTER = 0.03
/** Relative doubt of a sensor nobody has calibrated: data sheets of common lux sensors say 20 %, domes add to it. */
const UNLEARNED_UNCERTAINTY = 0.25
/** Values within this of each other gather. */
const GATHER = 0.06
/** Clear levels this old count 1/e. */
const MEMORY_DAYS = 25

/** A change is lasting from this many clear days on each side, and this large. */
const CHANGE_DAYS = 3
const CHANGE_LEAST = 0.12

/** Learns a sensor's gain from readings of one placement, days to months of them. */
export function learnGain(series: SunSeries): SensorGain {
  const stretches = steadyStretches(series)
  const levels = clearLevels(stretches)
  if (levels.length === 0) {
    return { at: () => 1, latest: null, uncertainty: UNLEARNED_UNCERTAINTY, clearDays: 0, changes: [] }
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
    changes,
  }
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

/** Stretches of steady light with their level. */
function steadyStretches(series: SunSeries): ClearLevel[] {
  const { timeMs, elevationDeg, clearRatio, isCeiling } = series
  const n = timeMs.length
  const spacingMs = n > 1 ? (timeMs[n - 1]! - timeMs[0]!) / (n - 1) : 0
  const halfMs = Math.max(STEADY_HALF_MS, Math.min(SLOW_REPORTS * spacingMs, LONGEST_GAP_MS))
  const units = 1e6
  const value = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    // a ceiling looks steady and is not
    const isFit = elevationDeg[i]! >= LOWEST_DEG && isCeiling[i] === 0
    value[i] = isFit ? Math.round(clearRatio[i]! * units) : Number.NaN
  }
  const near = around(timeMs, value, halfMs)
  const stretches: ClearLevel[] = []
  let run: number[] = []
  const close = (): void => {
    const first = run[0]
    const last = run.at(-1)
    if (first !== undefined && last !== undefined) {
      const lengthMs = timeMs[last]! - timeMs[first]!
      if (lengthMs >= STRETCH_MS) {
        const level = median(run.map((i) => clearRatio[i]!))
        stretches.push({
          timeMs: (timeMs[first]! + timeMs[last]!) / 2,
          level,
          minutes: lengthMs / MINUTE_MS,
        })
      }
    }
    run = []
  }
  for (let i = 0; i < n; i++) {
    const mean = near.mean[i]!
    const isSteady =
      !Number.isNaN(value[i]!) &&
      clearRatio[i]! >= LOWEST_GAIN &&
      clearRatio[i]! <= HIGHEST_GAIN &&
      near.highest[i]! - near.lowest[i]! <= STEADY * mean &&
      near.highest[i]! > near.lowest[i]!
    const last = run.at(-1)
    if (last !== undefined && (!isSteady || timeMs[i]! - timeMs[last]! > LONGEST_GAP_MS)) close()
    if (isSteady) run.push(i)
  }
  close()
  return stretches
}

/**
 * The clear level of each day that has one: its highest gathering of steady stretches. Days without a clear sky give
 * levels that are too low; they are told by lying under the days around them.
 */
function clearLevels(stretches: readonly ClearLevel[]): ClearLevel[] {
  const byDays = new Map<number, ClearLevel[]>()
  for (const stretch of stretches) {
    const day = Math.floor(stretch.timeMs / DAY_MS)
    byDays.set(day, [...(byDays.get(day) ?? []), stretch])
  }
  const days: ClearLevel[] = []
  for (const own of byDays.values()) {
    const top = own.reduce((best, s) => (s.level > best.level && s.minutes >= 45 ? s : best), own[0]!)
    const gathered = own.filter((s) => Math.abs(s.level / top.level - 1) <= GATHER)
    const minutes = gathered.reduce((sum, s) => sum + s.minutes, 0)
    const level = gathered.reduce((sum, s) => sum + s.level * s.minutes, 0) / minutes
    days.push({ timeMs: own[0]!.timeMs, level, minutes })
  }
  return days.filter((day) => isClearAmong(day, days))
}

/** A dull day's level lies under what other days of its month reach, again and again, or over one freak. */
const NEIGHBOUR_DAYS = 20

function isClearAmong(day: ClearLevel, days: readonly ClearLevel[]): boolean {
  const near = days.filter((other) => Math.abs(other.timeMs - day.timeMs) <= NEIGHBOUR_DAYS * DAY_MS)
  const center = gatheringOf(near)
  return Math.abs(day.level / center - 1) <= 2 * GATHER || hasCompanyInTime(day, days)
}

/** The highest level at which steady minutes gather: at least a third as many as where most do. */
function gatheringOf(levels: readonly ClearLevel[]): number {
  const weightAt = (center: number): number =>
    levels.reduce((sum, l) => sum + (Math.abs(l.level / center - 1) <= GATHER ? l.minutes : 0), 0)
  const weighed = levels.map((l) => ({ level: l.level, weight: weightAt(l.level) }))
  const most = Math.max(...weighed.map((w) => w.weight))
  const high = weighed.filter((w) => w.weight >= most / 3)
  const top = Math.max(...high.map((w) => w.level))
  const own = levels.filter((l) => Math.abs(l.level / top - 1) <= 2 * GATHER)
  return medianLevel(own)
}

/** After a change the new level is odd among the old ones: the days right before or after it then keep it company. */
function hasCompanyInTime(day: ClearLevel, days: readonly ClearLevel[]): boolean {
  const at = days.indexOf(day)
  for (let from = at - CHANGE_DAYS + 1; from <= at; from++) {
    const row = days.slice(Math.max(0, from), from + CHANGE_DAYS)
    if (row.length < CHANGE_DAYS || from < 0) continue
    const isLong = row.every((d) => d.minutes >= 90)
    if (isLong && row.every((d) => Math.abs(d.level / day.level - 1) <= GATHER)) return true
  }
  return false
}

/** Cuts the clear levels where they change for good. */
function splitRegimes(levels: readonly ClearLevel[]): ClearLevel[][] {
  let best = { at: -1, size: 0 }
  for (let at = CHANGE_DAYS; at <= levels.length - CHANGE_DAYS; at++) {
    const before = levels.slice(Math.max(0, at - 8), at)
    const after = levels.slice(at, at + 8)
    const from = medianLevel(before)
    const to = medianLevel(after)
    const size = Math.abs(Math.log(to / from))
    const noise = Math.hypot(scatter(before), scatter(after), AIR_SCATTER)
    const isApart = to < from ? highest(after) < from * (1 - GATHER) : highest(before) < to * (1 - GATHER)
    if (size > CHANGE_LEAST && size > 3 * noise && isApart && size > best.size) best = { at, size }
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

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const middle = sorted.length >> 1
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2
}

const medianLevel = (levels: readonly ClearLevel[]): number => median(levels.map((l) => l.level))
const highest = (levels: readonly ClearLevel[]): number => Math.max(...levels.map((l) => l.level))

/** Robust relative scatter: median distance from the median, as a standard deviation. */
function scatter(levels: readonly ClearLevel[]): number {
  const center = medianLevel(levels)
  return 1.4826 * median(levels.map((l) => Math.abs(l.level / center - 1)))
}
