/**
 * The course of a frost night by the square-root law, against the worked example in the documentation of the R
 * package `frost` (A. L. Diedrichs, CRAN 2019, function getTrend), which implements Snyder & de Melo-Abreu 2005,
 * Frost protection: fundamentals, practice, and economics, vol. 1, FAO: temperature two hours after sunset
 * 0.95 °C, minimum −5.45 °C, 15 hours from sunset to sunrise. Tolerance: half the last digit printed.
 */
import { expect, it } from 'vitest'
import { coolingCurveC } from '../../hub/warnings/night-cooling.js'

const ROWS = [
  [3, -0.8250406],
  [4, -1.5602865],
  [5, -2.1244606],
  [6, -2.6000813],
  [7, -3.0191115],
  [8, -3.3979438],
  [9, -3.7463161],
  [10, -4.0705731],
  [11, -4.3751219],
  [12, -4.6631713],
  [13, -4.9371438],
  [14, -5.1989211],
  [15, -5.45],
] as const

it.each(ROWS)('%i hours after sunset the air is at %f °C', (hoursSinceSunset, expectedC) => {
  const slope = (-5.45 - 0.95) / Math.sqrt(15 - 2)
  expect(Math.abs(coolingCurveC(0.95, slope, hoursSinceSunset - 2) - expectedC)).toBeLessThanOrEqual(5e-8)
})
