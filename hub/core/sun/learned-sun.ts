/** What was learned about a placement's sensor and sky for one month, in the form in which it is kept. Pure. */

import type { SunEvidence } from './garden-sun.js'
import { learnedContext } from './learned-context.js'
import type { SensorFault } from './sensor-faults.js'
import { type Skyline, sectorMiddles } from './skyline.js'
import type { SunContext } from './sun-states.js'

/** Raise it when the way of learning changes: what was learned before is learned again. */
export const LEARNED_SUN_VERSION = 2

const DAY_MS = 86_400_000
/** With less than this of light a skyline is no more than a guess, and a bed is taken as open. */
const LEAST_DAYS = 3

export interface LearnedSun {
  /** good light readings it rests on, the UTC days they fall on, and their ends */
  readonly readings: number
  readonly days: number
  readonly firstMs: number
  readonly lastMs: number
  readonly isDrawn: boolean
  readonly gain: {
    /** UTC day (days since 1970) of the first figure */
    readonly firstDay: number
    /** what the sensor says over what is, by UTC day */
    readonly byDay: readonly number[]
    readonly latest: number | null
    readonly uncertainty: number
    readonly clearDays: number
    readonly morningOverAfternoon: number | null
    readonly changes: readonly { afterMs: number; beforeMs: number; from: number; to: number }[]
  }
  /** columns by sector */
  readonly skyline: {
    readonly elevationDeg: readonly number[]
    readonly atLeastDeg: readonly number[]
    readonly lowDeg: readonly number[]
    readonly highDeg: readonly number[]
    readonly uncertaintyDeg: readonly number[]
    readonly isKnown: readonly number[]
  }
  readonly faults: readonly SensorFault[]
}

/** Finer digits are noise, and would make each cut judge all days anew. */
const rounded = (value: number, decimals: number): number => Number(value.toFixed(decimals))

/** @param monthStartMs  the month whose days are judged by it */
export function learnedSun(
  evidence: SunEvidence,
  skyline: Skyline,
  monthStartMs: number,
  monthEndMs: number,
): LearnedSun {
  const { gain, series, faults, drawn } = evidence
  const firstDay = Math.floor(monthStartMs / DAY_MS) - 1
  const lastDay = Math.floor(monthEndMs / DAY_MS) + 1
  const byDay: number[] = []
  for (let day = firstDay; day <= lastDay; day++) byDay.push(rounded(gain.at((day + 0.5) * DAY_MS), 3))
  const column = (values: Float64Array): number[] => Array.from(values, (v) => rounded(v, 1))
  return {
    readings: series.timeMs.length,
    days: new Set(series.timeMs.map((ms) => Math.floor(ms / DAY_MS))).size,
    firstMs: series.timeMs[0] ?? 0,
    lastMs: series.timeMs.at(-1) ?? 0,
    isDrawn: drawn !== undefined,
    gain: {
      firstDay,
      byDay,
      latest: gain.latest === null ? null : rounded(gain.latest, 3),
      uncertainty: rounded(gain.uncertainty, 3),
      clearDays: gain.clearDays,
      morningOverAfternoon: gain.morningOverAfternoon === null ? null : rounded(gain.morningOverAfternoon, 3),
      changes: gain.changes.map((c) => ({ ...c, from: rounded(c.from, 3), to: rounded(c.to, 3) })),
    },
    skyline: {
      elevationDeg: column(skyline.elevationDeg),
      atLeastDeg: column(skyline.atLeastDeg),
      lowDeg: column(skyline.lowDeg),
      highDeg: column(skyline.highDeg),
      uncertaintyDeg: column(skyline.uncertaintyDeg),
      isKnown: Array.from(skyline.isKnown),
    },
    faults,
  }
}

export const skylineOf = ({ skyline }: LearnedSun): Skyline => ({
  azimuthDeg: sectorMiddles(),
  elevationDeg: Float64Array.from(skyline.elevationDeg),
  atLeastDeg: Float64Array.from(skyline.atLeastDeg),
  lowDeg: Float64Array.from(skyline.lowDeg),
  highDeg: Float64Array.from(skyline.highDeg),
  uncertaintyDeg: Float64Array.from(skyline.uncertaintyDeg),
  isKnown: Uint8Array.from(skyline.isKnown),
})

/** Has enough been seen, or drawn, for its skyline to be used? */
export const hasSkyline = ({ days, isDrawn }: LearnedSun): boolean => isDrawn || days >= LEAST_DAYS

/** What states are judged with. */
export function contextOf(learned: LearnedSun): SunContext {
  const { firstDay, byDay } = learned.gain
  const gainAt = (timeMs: number): number =>
    byDay[Math.min(byDay.length - 1, Math.max(0, Math.floor(timeMs / DAY_MS) - firstDay))] ?? 1
  if (!hasSkyline(learned)) return { gainAt }
  return learnedContext(gainAt, skylineOf(learned))
}

/** The part of it that a day's figures follow from, as text: equal text, equal figures. */
export const judgedWith = (learned: LearnedSun): string =>
  JSON.stringify([
    LEARNED_SUN_VERSION,
    learned.gain.firstDay,
    learned.gain.byDay,
    hasSkyline(learned) ? learned.skyline : null,
  ])
