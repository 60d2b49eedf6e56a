/**
 * McMaster & Wilhelm 1997, Growing degree-days: one equation, two interpretations, Agric. Forest Meteorol. 87:291,
 * doi 10.1016/S0168-1923(97)00027-0, Table 1. °C, base 0, no upper threshold. The table prints one decimal and its
 * values are exact.
 */
import { expect, test } from 'vitest'
import { dailyDegreeDays } from '../../hub/core/heat/degree-days.js'

/** [maximum, minimum, method 1, method 2] */
const TABLE_1 = [
  [20, 10, 15, 15],
  [10, 1, 5.5, 5.5],
  [8, -2, 3, 4],
  [6, 0, 3, 3],
  [10, 5, 7.5, 7.5],
  [5, -5, 0, 2.5],
  [-2, -7, 0, 0],
  [-5, -10, 0, 0],
  [10, -2, 4, 5],
  [15, 2, 8.5, 8.5],
] as const
const LIMITS = { baseC: 0, upperC: Number.NaN, cutoff: 'none' } as const

for (const [max, min, method1, method2] of TABLE_1) {
  test(`a day from ${min} to ${max} °C has ${method1} degree days by method 1 and ${method2} by method 2`, () => {
    expect(dailyDegreeDays('average', min, max, null, LIMITS)).toBeCloseTo(method1, 10)
    expect(dailyDegreeDays('clamped-average', min, max, null, LIMITS)).toBeCloseTo(method2, 10)
  })
}
