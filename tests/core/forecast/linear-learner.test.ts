import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { learned, linearLearner, valueAt, varianceAt } from '../../../hub/core/forecast/linear-learner.js'

describe('a relation learned one observation at a time', () => {
  it('finds the line through exact points whatever was believed', () => {
    let line = linearLearner([0, 0], [100, 100])
    for (const x of [0, 1, 2, 5]) line = learned(line, [1, x], 3 + 2 * x, 1e-6)
    expect(line.weights[0]).toBeCloseTo(3, 4)
    expect(line.weights[1]).toBeCloseTo(2, 4)
    expect(valueAt(line, [1, 10])).toBeCloseTo(23, 3)
  })

  it('weighs one observation against the belief by their variances', () => {
    // belief 0 ± 2, observation 10 ± 1: mean 10 · 4/(4+1) = 8, variance 4 · 1/(4+1) = 0.8
    const level = learned(linearLearner([0], [2]), [1], 10, 1)
    expect(level.weights[0]).toBeCloseTo(8, 12)
    expect(varianceAt(level, [1])).toBeCloseTo(0.8, 12)
  })

  it('with drift settles at the gain of a scalar Kalman filter', () => {
    // q = 0.01, r = 1: p = (q + sqrt(q² + 4 q r)) / 2, gain p / (p + r) = 0.0951
    let level = linearLearner([0], [1])
    for (let i = 0; i < 500; i++) level = learned(level, [1], 0, 1, [0.01])
    expect(learned(level, [1], 1, 1, [0.01]).weights[0]).toBeCloseTo(0.0951, 4)
  })

  it('does not depend on the order of observations', () => {
    const point = fc.record({
      x: fc.double({ min: -10, max: 10, noNaN: true }),
      y: fc.double({ min: -30, max: 30, noNaN: true }),
    })
    fc.assert(
      fc.property(fc.array(point, { minLength: 2, maxLength: 8 }), (points) => {
        const lineOf = (list: typeof points) =>
          list.reduce((line, { x, y }) => learned(line, [1, x], y, 2), linearLearner([1, 0], [3, 1]))
        const forward = lineOf(points)
        const backward = lineOf(points.toReversed())
        for (const i of [0, 1]) expect(backward.weights[i]).toBeCloseTo(forward.weights[i]!, 7)
      }),
    )
  })

  it('leaves what it was learned from as it was', () => {
    const before = linearLearner([1, 2], [1, 1])
    learned(before, [1, 1], 9, 1)
    expect(before).toEqual(linearLearner([1, 2], [1, 1]))
  })

  it('refuses a belief of the wrong size', () => {
    expect(() => linearLearner([1, 2], [1])).toThrow(RangeError)
  })
})
