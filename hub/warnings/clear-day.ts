/**
 * Was the sky clear on a day, as far as one bed's light sensor can tell? A fence or a tree takes the sun away
 * once or twice and gives it back; clouds do so all day long, and while the sun shines between them the light
 * swings. So a day was clear here when the bed had its sun in few unbroken runs, and during the longest of them
 * the light kept the same ratio to that of a cloudless sky. Pure.
 */

import type { Place } from '../core/readings.js'
import type { BedLight } from '../core/sun/bed-light.js'
import { haurwitzWm2 } from '../core/sun/clear-sky.js'
import type { DaySun } from '../core/sun/day-sun.js'
import { sunPosition } from '../core/sun/position.js'

/** Completeness that a day needs to say anything. */
export const CLEAR_DAY_COVERAGE = 0.8
/** Another bed with this part of the possible sun hours shows that the sky was clear. */
export const CLEAR_DAY_SHARE = 0.8

/** Least length of the longest run: shorter gaps between clouds can look as steady. Common sense, no source. */
const LONGEST_RUN_MS = 1.5 * 3_600_000
/** A gap in the sun no longer than this does not break a run: a passing wisp, a bird, a lost reading. */
const JOIN_MS = 10 * 60_000
const MOST_RUNS = 3
/** Ratio to the cloudless sky: a sensor's gain may be off by far, but within a run it holds still. */
const LEAST_RATIO = 0.5
const MOST_RATIO = 1.5
/** Half of the readings of the run's middle lie within this part of their median. */
const STEADY = 0.08
const NEEDED_READINGS = 8

interface Run {
  readonly fromMs: number
  readonly toMs: number
}

/** Stretches with sun, short breaks closed. */
export function sunRuns(sun: DaySun): Run[] {
  const runs: Run[] = []
  for (const { fromMs, toMs, state } of sun.segments) {
    if (state !== 'sun') continue
    const last = runs.at(-1)
    if (last && fromMs - last.toMs <= JOIN_MS) runs[runs.length - 1] = { ...last, toMs }
    else runs.push({ fromMs, toMs })
  }
  return runs
}

/**
 * @param sun    a past day
 * @param light  of that day
 */
export function isClearDay(sun: DaySun, light: BedLight, place: Place): boolean {
  if (sun.coverage < CLEAR_DAY_COVERAGE) return false
  const runs = sunRuns(sun)
  const longest = runs.reduce<Run | null>(
    (best, run) => (best && best.toMs - best.fromMs >= run.toMs - run.fromMs ? best : run),
    null,
  )
  if (!longest || runs.length > MOST_RUNS || longest.toMs - longest.fromMs < LONGEST_RUN_MS) return false
  // edges of a run are half in the shade
  const edgeMs = (longest.toMs - longest.fromMs) / 10
  const ratios: number[] = []
  for (let i = 0; i < light.timeMs.length; i++) {
    const timeMs = light.timeMs[i]!
    if (timeMs < longest.fromMs + edgeMs || timeMs > longest.toMs - edgeMs) continue
    // at its ceiling a sensor is steady whatever the sky does
    if (light.isCeiling[i] !== 0) continue
    const clear = haurwitzWm2(sunPosition(timeMs, place).elevationDeg)
    if (clear > 0) ratios.push(light.irradianceWm2[i]! / clear)
  }
  if (ratios.length < NEEDED_READINGS) return false
  ratios.sort((a, b) => a - b)
  const at = (part: number): number => ratios[Math.floor(part * (ratios.length - 1))]!
  const median = at(0.5)
  const isSteady = Math.max(at(0.75) - median, median - at(0.25)) <= STEADY * median
  return median >= LEAST_RATIO && median <= MOST_RATIO && isSteady
}
