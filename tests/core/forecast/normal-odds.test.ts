import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  chanceAbove,
  chanceBelow,
  interval80,
  normalCdf,
  normalQuantile,
  quantileC,
} from '../../../hub/core/forecast/normal-odds.js'

const free = { atLeastC: null, atMostC: null }

describe('the normal distribution', () => {
  // Abramowitz & Stegun 1964, table 26.1, to seven places; the approximation is good to 1.5e-7
  it.each([
    [0, 0.5],
    [0.5, 0.6914625],
    [1, 0.8413447],
    [1.5, 0.9331928],
    [2, 0.9772499],
    [3, 0.9986501],
    [-1, 0.1586553],
  ])('has the tabled value at z = %d', (z, tabled) => {
    expect(Math.abs(normalCdf(z) - tabled)).toBeLessThan(2e-7)
  })

  it('has a quantile that undoes it', () => {
    expect(normalQuantile(0.9)).toBeCloseTo(1.28155, 4)
    fc.assert(
      fc.property(fc.double({ min: 0.001, max: 0.999, noNaN: true }), (p) => {
        expect(normalCdf(normalQuantile(p))).toBeCloseTo(p, 9)
      }),
    )
  })

  it.each([0, 1, -0.2, Number.NaN])('has no quantile of %d', (p) => {
    expect(() => normalQuantile(p)).toThrow(RangeError)
  })
})

describe('the odds of a temperature', () => {
  it('are even at the mean and one in ten above the 80 % interval', () => {
    const odds = { meanC: 24, sdC: 3, ...free }
    expect(chanceAbove(odds, 24)).toBeCloseTo(0.5, 6)
    expect(chanceAbove(odds, interval80(odds).highC)).toBeCloseTo(0.1, 6)
    expect(chanceBelow(odds, interval80(odds).lowC)).toBeCloseTo(0.1, 6)
    expect(quantileC(odds, 0.9)).toBeCloseTo(interval80(odds).highC, 4)
  })

  it('know what has been measured already', () => {
    const reached = { meanC: 24, sdC: 3, atLeastC: 27.4, atMostC: null }
    expect(chanceAbove(reached, 27)).toBe(1)
    expect(chanceAbove(reached, 28)).toBeCloseTo(1 - normalCdf(4 / 3), 6)
    expect(interval80(reached)).toEqual({
      lowC: 27.4,
      middleC: 27.4,
      highC: expect.closeTo(27.845, 2),
    })
    const cold = { meanC: 3, sdC: 2, atLeastC: null, atMostC: 1 }
    expect(chanceAbove(cold, 1)).toBe(0)
    expect(chanceBelow(cold, 1.5)).toBe(1)
  })

  it('of a known value are certain', () => {
    const known = { meanC: 27, sdC: 0, ...free }
    expect(chanceAbove(known, 26.9)).toBe(1)
    expect(chanceAbove(known, 27)).toBe(0)
    expect(chanceBelow(known, 27.1)).toBe(1)
  })

  it('fall as the threshold rises, and above and below make one', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -30, max: 45, noNaN: true }),
        fc.double({ min: 0.1, max: 9, noNaN: true }),
        fc.double({ min: -40, max: 50, noNaN: true }),
        fc.double({ min: 0, max: 10, noNaN: true }),
        (meanC, sdC, thresholdC, more) => {
          const odds = { meanC, sdC, ...free }
          const lower = chanceAbove(odds, thresholdC)
          expect(chanceAbove(odds, thresholdC + more)).toBeLessThanOrEqual(lower + 1e-8)
          // the approximation is good to 1.5e-7, and off by 1e-9 right at the middle
          expect(lower + chanceBelow(odds, thresholdC)).toBeCloseTo(1, 7)
        },
      ),
    )
  })
})
