import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { coverage, holdWeights, typicalSpacingMs } from '../../../hub/core/quality/completeness.js'
import { FLAG } from '../../../shared/quality-flags.js'

const MINUTE_MS = 60_000
const HOLD_MS = 90 * MINUTE_MS
const minutes = (...at: number[]): Float64Array => Float64Array.from(at, (m) => m * MINUTE_MS)
const clean = (n: number): Uint16Array => new Uint16Array(n)
const inMinutes = (weights: Float64Array): number[] => Array.from(weights, (ms) => ms / MINUTE_MS)

describe('the time a reading accounts for', () => {
  test('is the spacing, in an even record', () => {
    expect(inMinutes(holdWeights(minutes(0, 15, 30, 45), clean(4), HOLD_MS))).toEqual([15, 15, 15, 15])
  })

  test('is the distance to the nearer neighbour, so that a hole belongs to nobody', () => {
    expect(inMinutes(holdWeights(minutes(0, 1, 2, 62, 63), clean(5), HOLD_MS))).toEqual([1, 1, 1, 1, 1])
  })

  test('is half the way to each neighbour where a clock is a little uneven, so that nothing is lost', () => {
    expect(inMinutes(holdWeights(minutes(0, 10, 21, 30, 40), clean(5), HOLD_MS))).toEqual([
      10, 10.5, 10, 9.5, 10,
    ])
  })

  test('is never longer than the quantity may be held', () => {
    expect(inMinutes(holdWeights(minutes(0, 600, 1200), clean(3), HOLD_MS))).toEqual([90, 90, 90])
    expect(inMinutes(holdWeights(minutes(0), clean(1), HOLD_MS))).toEqual([90])
  })

  test('is nothing for a bad reading, and its neighbours do not grow into its place', () => {
    const flags = Uint16Array.of(0, 0, FLAG.step, 0, 0)
    expect(inMinutes(holdWeights(minutes(0, 10, 20, 30, 40), flags, HOLD_MS))).toEqual([10, 10, 0, 10, 10])
  })

  test('counts a light sensor at its ceiling, which is a lower bound and not a fault', () => {
    const flags = Uint16Array.of(0, FLAG.ceiling, 0)
    expect(inMinutes(holdWeights(minutes(0, 10, 20), flags, HOLD_MS))).toEqual([10, 10, 10])
  })

  test('never adds up to more than the readings span, with one hold for the ends', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 10_000_000 }), { maxLength: 60 }), (gaps) => {
        const timeMs = new Float64Array(gaps.length + 1)
        for (const [i, gap] of gaps.entries()) timeMs[i + 1] = timeMs[i]! + gap
        const sum = holdWeights(timeMs, clean(timeMs.length), HOLD_MS).reduce((a, b) => a + b, 0)
        expect(sum).toBeLessThanOrEqual(timeMs.at(-1)! + HOLD_MS)
      }),
    )
  })

  test('needs a flag for every time', () => {
    expect(() => holdWeights(minutes(0, 1), clean(1), HOLD_MS)).toThrow(RangeError)
  })
})

describe('coverage', () => {
  test('is the part of the period accounted for, at most all of it', () => {
    expect(coverage(12, 24)).toBe(0.5)
    expect(coverage(25, 24)).toBe(1)
  })

  test('of a period that has not begun is nothing', () => {
    expect(coverage(0, 0)).toBe(0)
    expect(coverage(5, -5)).toBe(0)
  })
})

describe('typical spacing', () => {
  test('is the middle gap, whatever holes there are', () => {
    expect(typicalSpacingMs(minutes(0, 1, 2, 3, 500, 501, 502))).toBe(MINUTE_MS)
  })

  test('is not known from a single reading', () => {
    expect(typicalSpacingMs(minutes(3))).toBeNull()
    expect(typicalSpacingMs(minutes())).toBeNull()
  })
})
