import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  type Cutoff,
  DAILY_METHODS,
  dailyDegreeDays,
  integralDegreeDays,
  type Thresholds,
} from '../../../hub/core/heat/degree-days.js'

const CUTOFFS: readonly Cutoff[] = ['horizontal', 'intermediate', 'vertical', 'none']
const temperature = fc.double({ min: -30, max: 50, noNaN: true })
const day = fc.tuple(temperature, temperature, temperature).map(([a, b, next]) => ({
  minC: Math.min(a, b),
  maxC: Math.max(a, b),
  nextMinC: next,
}))
const thresholds = fc.record({
  baseC: fc.double({ min: -5, max: 15, noNaN: true }),
  widthC: fc.double({ min: 0.1, max: 30, noNaN: true }),
  cutoff: fc.constantFrom(...CUTOFFS),
})
const limitsOf = ({ baseC, widthC, cutoff }: { baseC: number; widthC: number; cutoff: Cutoff }) => ({
  baseC,
  upperC: baseC + widthC,
  cutoff,
})
const EPSILON = 1e-9

describe.each(DAILY_METHODS)('%s', (method) => {
  const degreeDays = (d: { minC: number; maxC: number; nextMinC: number }, limits: Thresholds): number =>
    dailyDegreeDays(method, d.minC, d.maxC, d.nextMinC, limits)

  test('is never negative, and never more than a day spent at the upper threshold', () => {
    fc.assert(
      fc.property(day, thresholds, (d, t) => {
        const result = degreeDays(d, limitsOf(t))
        expect(result).toBeGreaterThanOrEqual(0)
        if (t.cutoff !== 'none') expect(result).toBeLessThanOrEqual(t.widthC + EPSILON)
      }),
    )
  })

  test('cut-offs take away more and more: none, horizontal, intermediate, vertical', () => {
    fc.assert(
      fc.property(day, thresholds, (d, t) => {
        const by = (cutoff: Cutoff): number => degreeDays(d, limitsOf({ ...t, cutoff }))
        expect(by('horizontal')).toBeLessThanOrEqual(by('none') + EPSILON)
        expect(by('intermediate')).toBeLessThanOrEqual(by('horizontal') + EPSILON)
        expect(by('vertical')).toBeLessThanOrEqual(by('intermediate') + EPSILON)
      }),
    )
  })

  test('a warmer day never has fewer degree days without a harmful upper end', () => {
    fc.assert(
      fc.property(day, thresholds, fc.double({ min: 0, max: 10, noNaN: true }), (d, t, warmerC) => {
        const cutoff = t.cutoff === 'none' ? 'none' : 'horizontal'
        const warmer = { minC: d.minC + warmerC, maxC: d.maxC + warmerC, nextMinC: d.nextMinC + warmerC }
        const limits = limitsOf({ ...t, cutoff })
        expect(degreeDays(warmer, limits)).toBeGreaterThanOrEqual(degreeDays(d, limits) - EPSILON)
      }),
    )
  })

  test('means the same in Fahrenheit', () => {
    const f = (c: number): number => c * 1.8 + 32
    fc.assert(
      fc.property(day, thresholds, (d, t) => {
        const limits = limitsOf(t)
        const inF = degreeDays(
          { minC: f(d.minC), maxC: f(d.maxC), nextMinC: f(d.nextMinC) },
          { baseC: f(limits.baseC), upperC: f(limits.upperC), cutoff: limits.cutoff },
        )
        // a vertical cut-off has edges where rounding decides; stay off them
        const isOnEdge = [d.minC, d.maxC, (d.minC + d.maxC) / 2, d.nextMinC].some(
          (v) => Math.abs(v - limits.upperC) < 1e-6,
        )
        if (!isOnEdge) expect(inF / 1.8).toBeCloseTo(degreeDays(d, limits), 5)
      }),
    )
  })

  test('a day between the thresholds counts its mean above the base', () => {
    const limits: Thresholds = { baseC: 4.4, upperC: 26.7, cutoff: 'horizontal' }
    expect(dailyDegreeDays(method, 10, 20, 10, limits)).toBeCloseTo(10.6, 10)
  })

  test('a day at one temperature is no division by zero', () => {
    const limits: Thresholds = { baseC: 4.4, upperC: 26.7, cutoff: 'horizontal' }
    expect(dailyDegreeDays(method, 15, 15, 15, limits)).toBeCloseTo(10.6, 10)
    expect(dailyDegreeDays(method, 4.4, 4.4, 4.4, limits)).toBe(0)
    expect(dailyDegreeDays(method, 30, 30, 30, { ...limits, cutoff: 'vertical' })).toBeCloseTo(0, 10)
  })
})

describe('the integral over readings', () => {
  const limits: Thresholds = { baseC: 4.4, upperC: 26.7, cutoff: 'horizontal' }
  const even = (n: number): Float64Array => new Float64Array(n).fill(1)

  test('equals the mean of each reading brought between the thresholds', () => {
    fc.assert(
      fc.property(fc.array(temperature, { minLength: 1, maxLength: 50 }), (values) => {
        const clamped = values.map((v) => Math.min(26.7, Math.max(4.4, v)) - 4.4)
        const mean = clamped.reduce((a, b) => a + b, 0) / values.length
        expect(integralDegreeDays(Float64Array.from(values), even(values.length), limits)).toBeCloseTo(
          mean,
          9,
        )
      }),
    )
  })

  test.each(['sine', 'triangle'] as const)(
    'of a finely sampled %s day is the daily method itself',
    (shape) => {
      const n = 20_000
      const course = Float64Array.from({ length: n }, (_, i) => {
        const part = (i + 0.5) / n
        return shape === 'sine' ? 18 + 14 * Math.sin(2 * Math.PI * part) : 32 - 28 * Math.abs(2 * part - 1)
      })
      for (const cutoff of CUTOFFS) {
        expect(integralDegreeDays(course, even(n), { ...limits, cutoff })).toBeCloseTo(
          dailyDegreeDays(shape, 4, 32, null, { ...limits, cutoff }),
          2,
        )
      }
    },
  )

  test('weighs each reading by its time and leaves out those of weight 0', () => {
    expect(
      integralDegreeDays(Float64Array.of(14.4, 24.4, 999), Float64Array.of(3, 1, 0), limits),
    ).toBeCloseTo((10 * 3 + 20) / 4, 10)
  })

  test('of nothing is not known, which is not zero', () => {
    expect(integralDegreeDays(new Float64Array(0), new Float64Array(0), limits)).toBeNull()
    expect(integralDegreeDays(Float64Array.of(20), Float64Array.of(0), limits)).toBeNull()
  })
})

describe('misuse is refused', () => {
  const limits: Thresholds = { baseC: 4.4, upperC: 26.7, cutoff: 'horizontal' }
  test.each([
    ['a maximum below the minimum', () => dailyDegreeDays('sine', 20, 10, null, limits)],
    ['a minimum that is no number', () => dailyDegreeDays('sine', Number.NaN, 10, null, limits)],
    ['a double method without tomorrow', () => dailyDegreeDays('double-sine', 1, 10, null, limits)],
    [
      'an upper threshold at the base',
      () => dailyDegreeDays('sine', 1, 10, null, { ...limits, upperC: 4.4 }),
    ],
    [
      'no upper threshold where one is needed',
      () => dailyDegreeDays('sine', 1, 10, null, { ...limits, upperC: Number.POSITIVE_INFINITY }),
    ],
    [
      'a base that is no number',
      () => dailyDegreeDays('sine', 1, 10, null, { ...limits, baseC: Number.NaN }),
    ],
  ])('%s', (_what, call) => {
    expect(call).toThrow(RangeError)
  })
})
