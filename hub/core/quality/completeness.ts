/**
 * How much time readings account for, and when that is enough. Every computed figure carries this coverage.
 *
 * A reading accounts for half the way to each of its neighbours, where these are about equally far (a node's
 * clock is never quite even). Where one is much farther there is a hole, and the reading accounts for the time
 * to its nearer neighbour only, half of it on each side. It never accounts for more than the quantity's longest
 * hold (shared/quantities.ts). So a hole in the record is not filled by the readings at its edges, whatever the
 * spacing, and an even record weighs every reading alike. Readings sent in bursts with pauses between account
 * for little more than the bursts.
 */
import { isGood } from '../../../shared/quality-flags.js'

/**
 * Completeness rule: below this coverage a day's figure is provisional. Common practice: climate services
 * ask for 75 to 80 % of a day's samples before they compute its mean; we take the stricter end.
 */
export const COMPLETE_COVERAGE = 0.8

/** A neighbour this many times as far as the other one lies across a hole: one missing reading makes it 2. */
const HOLE_RATIO = 1.5

/**
 * Time that each reading accounts for, ms. A bad reading weighs 0, and its neighbours do not grow into its
 * place. A lone reading accounts for maxHoldMs.
 *
 * @param timeMs     strictly ascending, with the neighbours of the period in question where they exist
 * @param flags      quality flags with those from context merged in; same length
 * @param maxHoldMs  longest time one reading may stand for
 */
export function holdWeights(timeMs: Float64Array, flags: Uint16Array, maxHoldMs: number): Float64Array {
  if (flags.length !== timeMs.length) {
    throw new RangeError(`${timeMs.length} times but ${flags.length} flags`)
  }
  const n = timeMs.length
  const weights = new Float64Array(n)
  let before = Number.POSITIVE_INFINITY
  for (let i = 0; i < n; i++) {
    const after = i + 1 < n ? timeMs[i + 1]! - timeMs[i]! : Number.POSITIVE_INFINITY
    if (isGood(flags[i]!)) weights[i] = Math.min(accountedFor(before, after), maxHoldMs)
    before = after
  }
  return weights
}

function accountedFor(beforeMs: number, afterMs: number): number {
  const nearMs = Math.min(beforeMs, afterMs)
  const farMs = Math.max(beforeMs, afterMs)
  return farMs < HOLE_RATIO * nearMs ? (nearMs + farMs) / 2 : nearMs
}

/** Part of a period that weights account for, 0 to 1. A period without length has coverage 0. */
export function coverage(coveredMs: number, periodMs: number): number {
  return periodMs > 0 ? Math.min(1, coveredMs / periodMs) : 0
}

/**
 * Typical spacing of a record, ms: the median of its gaps; null with fewer than two readings. A gap much wider
 * than this is a hole in the record.
 */
export function typicalSpacingMs(timeMs: Float64Array): number | null {
  if (timeMs.length < 2) return null
  const gaps = new Float64Array(timeMs.length - 1)
  for (let i = 1; i < timeMs.length; i++) gaps[i - 1] = timeMs[i]! - timeMs[i - 1]!
  gaps.sort()
  return gaps[gaps.length >> 1]!
}
