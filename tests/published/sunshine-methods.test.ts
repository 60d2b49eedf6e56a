/**
 * - Olivieri's threshold (Météo-France, Carpentras; WMO-No. 8 ch. 8), formula evaluated by hand. Tolerance 0.005
 *   W/m² (half the last digit).
 * - Slob & Monna 1991, as in the annex of WMO-No. 8 ch. 8; the algorithm's text is from memory, values by hand.
 *   Tolerance 0.0001.
 */
import { describe, expect, it } from 'vitest'
import { olivieriThresholdWm2, slobMonnaFraction } from '../../hub/core/sun/sunshine-methods.js'

describe('Olivieri’s threshold', () => {
  it.each([
    [1, 3.5, 25.89],
    [1, 20, 223.157],
    [1, 60, 712.786],
    [80, 5, 37.926],
    [80, 45, 519.301],
    [172, 10, 81.231],
    [172, 45, 469.881],
    [172, 75, 693.923],
    [265, 30, 327.393],
    [355, 20, 222.909],
    [355, 75, 816.099],
  ])('on day %i with the sun at %f° is %f W/m²', (dayOfYear, elevationDeg, expected) => {
    expect(Math.abs(olivieriThresholdWm2(elevationDeg, dayOfYear) - expected)).toBeLessThanOrEqual(0.005)
  })

  it('never counts at 3° and below', () => {
    expect(olivieriThresholdWm2(3, 1)).toBe(Number.POSITIVE_INFINITY)
  })
})

describe('Slob & Monna', () => {
  it.each([
    [0.05, 60, 50, 70, 0],
    [0.2, 80, 70, 90, 0],
    [0.2, 160, 150, 170, 1],
    [0.5, 120, 110, 130, 0],
    [0.5, 420, 400, 440, 1],
    [0.5, 300, 120, 520, 0.4662],
    [0.5, 350, 200, 560, 0.3287],
    [0.8, 800, 780, 820, 1],
    [0.8, 500, 200, 950, 0.3823],
    [0.8, 450, 430, 480, 0.0185],
  ])('sin h %f, mean %i, %i to %i W/m²: %f', (sine, mean, lowest, highest, expected) => {
    expect(Math.abs(slobMonnaFraction(sine, mean, lowest, highest) - expected)).toBeLessThanOrEqual(0.0001)
  })
})
