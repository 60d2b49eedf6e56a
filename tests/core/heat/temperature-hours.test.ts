import { expect, test } from 'vitest'
import { degreeHoursAbove, hoursAbove, hoursBetween } from '../../../hub/core/heat/temperature-hours.js'

const HALF_HOUR_MS = 1_800_000
const valueC = Float64Array.of(26.9, 27, 27.1, 30, 31)
const weightsMs = Float64Array.of(HALF_HOUR_MS, HALF_HOUR_MS, HALF_HOUR_MS, HALF_HOUR_MS, 0)

test('hours above a temperature leave out the temperature itself and readings without weight', () => {
  expect(hoursAbove(valueC, weightsMs, 27)).toBe(1)
})

test('hours between include both ends', () => {
  expect(hoursBetween(valueC, weightsMs, 26.9, 27.1)).toBe(1.5)
})

test('degree hours weigh the time by how much too warm it was', () => {
  expect(degreeHoursAbove(valueC, weightsMs, 27)).toBeCloseTo((0.1 + 3) / 2, 10)
})
