/**
 * What only neighbours show: a value that leaps away and back (`step`), one that stands still for longer than
 * nature does (`stuck`), a lone exact zero (`dropout`), and a light sensor on a plateau (`ceiling`).
 *
 * Computed whenever readings are read, from the readings in time order, so the order in which they arrived
 * never matters. Each verdict depends on readings at most contextMs(quantity) away on either side.
 *
 * The limits are wide on purpose: a false alarm throws good data out of the figures. They start from common
 * practice for automatic stations (Zahumenský 2004, WMO guidelines on quality control of data from automatic
 * weather stations: air 3 °C and soil 0.5 °C in a minute, something must change within the hour; US EPA
 * screening: 5 °C an hour, something must change within 12 h; values from memory) and were widened until
 * measured records of good stations, 30 s to 1 h apart, raised next to none
 * (tests/core/quality/false-alarms.test.ts). A cold front that falls and stays is never a step.
 */
import { FLAG, isGood } from '../../../shared/quality-flags.js'
import type { ReadingColumns } from '../readings.js'

const MINUTE_MS = 60_000
const HOUR_MS = 60 * MINUTE_MS

interface ContextLimits {
  /** a leap away and back of more than `leap + leapPerRootHour × √hours` is a step; null: the quantity may leap */
  readonly leap: number | null
  readonly leapPerRootHour: number
  /** how long the exact same value may stand, ms; Infinity: for ever */
  readonly mayStandMs: (value: number) => number
  /** a short exact zero between readings at least this far from zero on both sides is a dropout; null: not checked */
  readonly farFromZero: number | null
  readonly hasPlateaus: boolean
}

/** Snow, ice and thawing soil hold their sensor at 0 °C for weeks. */
const nearFreezing = (valueC: number): boolean => Math.abs(valueC) <= 1.5

const LIGHT_DARK_LX = 50
const LIGHT_PLATEAU_LX = 20_000
/** Nowhere does the sun keep a level sensor above 20 klx for longer than this. */
const LONGEST_BRIGHT_MS = 15 * HOUR_MS

const LIMITS: ReadonlyMap<string, ContextLimits> = new Map([
  [
    'air-temp',
    {
      leap: 4,
      leapPerRootHour: 8,
      // a sensor of whole degrees stands still through dull winter days: a year at Tharandt, rounded, has 29 standstills
      // of 12 h and more, the longest of 27.5 h
      mayStandMs: (v: number) =>
        nearFreezing(v) ? Number.POSITIVE_INFINITY : Number.isInteger(v) ? 30 * HOUR_MS : 12 * HOUR_MS,
      farFromZero: 5,
      hasPlateaus: false,
    },
  ],
  [
    'soil-temp',
    {
      leap: 3,
      leapPerRootHour: 4,
      mayStandMs: (v: number) => (nearFreezing(v) ? Number.POSITIVE_INFINITY : 48 * HOUR_MS),
      farFromZero: 5,
      hasPlateaus: false,
    },
  ],
  [
    'light',
    {
      leap: null, // clouds and leaves do anything
      leapPerRootHour: 0,
      mayStandMs: (v: number) =>
        v < LIGHT_DARK_LX ? Number.POSITIVE_INFINITY : v < LIGHT_PLATEAU_LX ? 3 * HOUR_MS : LONGEST_BRIGHT_MS,
      farFromZero: 2_000,
      hasPlateaus: true,
    },
  ],
  [
    'irradiance',
    {
      leap: null,
      leapPerRootHour: 0,
      mayStandMs: (v: number) => (v < 10 ? Number.POSITIVE_INFINITY : 3 * HOUR_MS),
      farFromZero: 50,
      hasPlateaus: false,
    },
  ],
  [
    'humidity',
    {
      leap: null,
      leapPerRootHour: 0,
      // fog holds a sensor at its wet end for days
      mayStandMs: (v: number) => (v >= 90 ? Number.POSITIVE_INFINITY : 24 * HOUR_MS),
      farFromZero: 15,
      hasPlateaus: false,
    },
  ],
])

/** A step is judged by at most this many readings on each side, no farther away than this. */
const VOTERS = 5
const VOTE_WITHIN_MS = 3 * HOUR_MS
/** In a sparser record the day's own course soon drowns a leap: only the nearest reading on each side is heard. */
const SPARSE_MS = 45 * MINUTE_MS
/** Equal readings farther apart than this are not one standstill. */
const RUN_GAP_MS = 90 * MINUTE_MS
/** A dropout lasts no longer, and its neighbours are no farther. */
const DROPOUT_MS = 30 * MINUTE_MS
const DROPOUT_NEIGHBOUR_MS = 90 * MINUTE_MS
/** A plateau of a light sensor lasts at least this long and is the brightest for two hours around. */
const PLATEAU_MS = 30 * MINUTE_MS
const PLATEAU_AROUND_MS = 2 * HOUR_MS

/**
 * The longest finite standstill that LIMITS allows, by quantity: no verdict looks farther, but for the gap within a run and
 * the neighbours of a dropout or step, which two hours more are enough for.
 */
const LONGEST_STAND_MS: ReadonlyMap<string, number> = new Map([
  ['air-temp', 30 * HOUR_MS],
  ['soil-temp', 48 * HOUR_MS],
  ['light', LONGEST_BRIGHT_MS],
  ['irradiance', 3 * HOUR_MS],
  ['humidity', 24 * HOUR_MS],
])

/** Longest of all quantities: this much on either side is enough context for any. */
export const CONTEXT_MS = 48 * HOUR_MS + 2 * HOUR_MS

/** How far away, on either side, a reading can still bear on the flags of another, ms. */
export function contextMs(quantity: string): number {
  const longestStandMs = LONGEST_STAND_MS.get(quantity)
  return longestStandMs === undefined ? 0 : longestStandMs + 2 * HOUR_MS
}

/**
 * Flags of readings with those from context merged in.
 *
 * @param readings  one series, ascending, with contextMs(quantity) of readings on either side of the range
 *                  whose flags matter, where they exist
 * @returns a new array; a quantity without limits gets its own flags back unchanged
 */
export function contextFlags(quantity: string, readings: ReadingColumns): Uint16Array {
  const flags = Uint16Array.from(readings.flags)
  const limits = LIMITS.get(quantity)
  if (!limits) return flags
  // readings that condemned themselves on arrival say nothing about others
  const good = goodIndices(readings.flags)
  flagStandstills(limits, readings, good, flags)
  flagDropouts(limits, readings, good, flags)
  if (limits.leap !== null) flagSteps(limits.leap, limits.leapPerRootHour, readings, good, flags)
  return flags
}

function goodIndices(flags: Uint16Array): Uint32Array {
  const good = new Uint32Array(flags.length)
  let n = 0
  for (let i = 0; i < flags.length; i++) if (isGood(flags[i]!)) good[n++] = i
  return good.subarray(0, n)
}

/** Runs of the exact same value: too long is `stuck`; at the top of a light sensor it is a plateau. */
function flagStandstills(
  limits: ContextLimits,
  { timeMs, value, flags: arrival }: ReadingColumns,
  good: Uint32Array,
  flags: Uint16Array,
): void {
  let from = 0
  while (from < good.length) {
    const v = value[good[from]!]!
    const ceiling = arrival[good[from]!]! & FLAG.ceiling
    let to = from
    while (
      to + 1 < good.length &&
      value[good[to + 1]!]! === v &&
      (arrival[good[to + 1]!]! & FLAG.ceiling) === ceiling &&
      timeMs[good[to + 1]!]! - timeMs[good[to]!]! <= RUN_GAP_MS
    ) {
      to++
    }
    const spanMs = timeMs[good[to]!]! - timeMs[good[from]!]!
    if (to > from) {
      if (ceiling === 0 && spanMs >= limits.mayStandMs(v)) {
        for (let k = from; k <= to; k++) flags[good[k]!]! |= FLAG.stuck
      } else if (limits.hasPlateaus && v >= LIGHT_PLATEAU_LX && spanMs >= PLATEAU_MS && to - from >= 2) {
        flagPlateau(from, to, timeMs, value, good, flags)
      }
    }
    from = to + 1
  }
}

function flagPlateau(
  from: number,
  to: number,
  timeMs: Float64Array,
  value: Float64Array,
  good: Uint32Array,
  flags: Uint16Array,
): void {
  const v = value[good[from]!]!
  const startMs = timeMs[good[from]!]!
  const endMs = timeMs[good[to]!]!
  // the last brighter reading before the run and the first one after it decide for the whole run
  let brighterBeforeMs = Number.NEGATIVE_INFINITY
  for (let k = from - 1; k >= 0 && startMs - timeMs[good[k]!]! <= PLATEAU_AROUND_MS; k--) {
    if (value[good[k]!]! > v) {
      brighterBeforeMs = timeMs[good[k]!]!
      break
    }
  }
  let brighterAfterMs = Number.POSITIVE_INFINITY
  for (let k = to + 1; k < good.length && timeMs[good[k]!]! - endMs <= PLATEAU_AROUND_MS; k++) {
    if (value[good[k]!]! > v) {
      brighterAfterMs = timeMs[good[k]!]!
      break
    }
  }
  for (let k = from; k <= to; k++) {
    const t = timeMs[good[k]!]!
    if (t - brighterBeforeMs > PLATEAU_AROUND_MS && brighterAfterMs - t > PLATEAU_AROUND_MS) {
      flags[good[k]!]! |= FLAG.ceiling
    }
  }
}

/** Exact zeros for a short while between readings far from zero on the same side. */
function flagDropouts(
  { farFromZero }: ContextLimits,
  { timeMs, value }: ReadingColumns,
  good: Uint32Array,
  flags: Uint16Array,
): void {
  if (farFromZero === null) return
  let k = 0
  while (k < good.length) {
    if (value[good[k]!]! !== 0) {
      k++
      continue
    }
    const from = k
    while (k < good.length && value[good[k]!]! === 0) k++
    const before = good[from - 1]
    const after = good[k]
    if (before === undefined || after === undefined) continue
    const firstMs = timeMs[good[from]!]!
    const lastMs = timeMs[good[k - 1]!]!
    const isShort =
      lastMs - firstMs <= DROPOUT_MS &&
      firstMs - timeMs[before]! <= DROPOUT_NEIGHBOUR_MS &&
      timeMs[after]! - lastMs <= DROPOUT_NEIGHBOUR_MS
    const isFar =
      Math.min(Math.abs(value[before]!), Math.abs(value[after]!)) >= farFromZero &&
      Math.sign(value[before]!) === Math.sign(value[after]!)
    if (isShort && isFar) for (let j = from; j < k; j++) flags[good[j]!]! |= FLAG.dropout
  }
}

/**
 * Excursions of up to three readings are found (of one, in records sparser than SPARSE_MS).
 *
 * A reading is a step when most of its nearest readings before it, and most of those after it, lie more than
 * the limit away on the same side. So a front (which stays) and a ramp (which goes on) never are, and the
 * good neighbours of a bad reading keep their good name.
 */
function flagSteps(
  leap: number,
  leapPerRootHour: number,
  { timeMs, value }: ReadingColumns,
  good: Uint32Array,
  flags: Uint16Array,
): void {
  const vote = (k: number, direction: 1 | -1): number => {
    const t = timeMs[good[k]!]!
    const v = value[good[k]!]!
    let above = 0
    let below = 0
    let voters = 0
    let nearestMs = 0
    for (let n = 1; n <= VOTERS; n++) {
      const other = good[k + n * direction]
      if (other === undefined) break
      const awayMs = Math.abs(timeMs[other]! - t)
      if (awayMs > VOTE_WITHIN_MS || (n > 1 && nearestMs > SPARSE_MS)) break
      if (n === 1) nearestMs = awayMs
      voters++
      const awayBy = v - value[other]!
      if (Math.abs(awayBy) <= leap) continue
      if (Math.abs(awayBy) <= leap + leapPerRootHour * Math.sqrt(awayMs / HOUR_MS)) continue
      if (awayBy > 0) above++
      else below++
    }
    return above * 2 > voters ? 1 : below * 2 > voters ? -1 : 0
  }
  for (let k = 1; k + 1 < good.length; k++) {
    const before = vote(k, -1)
    if (before !== 0 && before === vote(k, 1)) flags[good[k]!]! |= FLAG.step
  }
}
