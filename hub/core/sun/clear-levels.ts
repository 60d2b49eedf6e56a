/**
 * Clear moments as a light sensor alone shows them: stretches in which the ratio to a clear sky's light stands still, and the
 * level of each clear day. What the sensor's gain is learned from (sensor-gain.ts).
 */
import { around } from './around.js'
import type { SunSeries } from './sun-series.js'

/** A steady stretch, or a day's gathering of them. */
export interface ClearLevel {
  readonly timeMs: number
  readonly level: number
  readonly minutes: number
  readonly isMorning: boolean
}

const MINUTE_MS = 60_000
const DAY_MS = 86_400_000

/** Domes and cosine errors act at low sun, so it is left out … */
export const HIGH_SUN_DEG = 15
/** … but where a winter has no other. */
export const LOW_SUN_DEG = 8
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

/** Values within this of each other gather. */
export const GATHER = 0.06
/** A change of gain shows in this many clear days. */
export const CHANGE_DAYS = 3

/** Stretches of steady light with their level. @param lowestDeg  least elevation of the sun */
export function steadyStretches(series: SunSeries, lowestDeg: number): ClearLevel[] {
  const { timeMs, elevationDeg, clearRatio, isCeiling } = series
  const n = timeMs.length
  const spacingMs = n > 1 ? (timeMs[n - 1]! - timeMs[0]!) / (n - 1) : 0
  const halfMs = Math.max(STEADY_HALF_MS, Math.min(SLOW_REPORTS * spacingMs, LONGEST_GAP_MS))
  const units = 1e6
  const value = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    // a ceiling looks steady and is not
    const isFit = elevationDeg[i]! >= lowestDeg && isCeiling[i] === 0
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
          isMorning: elevationDeg[last]! > elevationDeg[first]!,
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
export function clearLevels(stretches: readonly ClearLevel[]): ClearLevel[] {
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
    days.push({ timeMs: own[0]!.timeMs, level, minutes, isMorning: own[0]!.isMorning })
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

/** After a change the new level is odd among the old ones: the days before it, or those after it, keep it company. */
const COMPANY_DAYS = 12
const COMPANY_MINUTES = 45
const COMPANY_TOTAL_MINUTES = 240

/**
 * At least three long levels of the days on one side agree with it, and none there is higher: three dull days that stand
 * still for an hour at one and the same level, with no clear day among them, hardly happen.
 */
function hasCompanyInTime(day: ClearLevel, days: readonly ClearLevel[]): boolean {
  return [-1, 1].some((side) => {
    const near = days.filter((other) => {
      const awayDays = (side * (other.timeMs - day.timeMs)) / DAY_MS
      return awayDays >= 0 && awayDays <= COMPANY_DAYS && other.minutes >= COMPANY_MINUTES
    })
    const agreeing = near.filter((other) => Math.abs(other.level / day.level - 1) <= 2 * GATHER)
    const minutes = agreeing.reduce((sum, other) => sum + other.minutes, 0)
    return (
      agreeing.length >= CHANGE_DAYS &&
      minutes >= COMPANY_TOTAL_MINUTES &&
      near.every((other) => other.level < day.level * (1 + 2 * GATHER))
    )
  })
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const middle = sorted.length >> 1
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2
}

export const medianLevel = (levels: readonly ClearLevel[]): number => median(levels.map((l) => l.level))
export const highest = (levels: readonly ClearLevel[]): number => Math.max(...levels.map((l) => l.level))

/** Robust relative scatter: median distance from the median, as a standard deviation. */
export function scatter(levels: readonly ClearLevel[]): number {
  const center = medianLevel(levels)
  return 1.4826 * median(levels.map((l) => Math.abs(l.level / center - 1)))
}
