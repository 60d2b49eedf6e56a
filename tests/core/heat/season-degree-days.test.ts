import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { sumDegreeDays, type WarmthDay } from '../../../hub/core/heat/season-degree-days.js'
import { addDays } from '../../../shared/local-time.js'

/** [degree days, coverage]; null: nothing measured */
const season = (...days: readonly (readonly [number, number] | null)[]): WarmthDay[] =>
  days.map((day, i) => ({
    date: addDays('2027-05-01', i),
    degreeDaysC: day === null ? null : day[0],
    airCoverage: day === null ? 0 : day[1],
  }))

describe('whole days', () => {
  test('are summed as they are', () => {
    const { sumC, filledC, openDays, coverage } = sumDegreeDays(season([10, 1], [12, 1], [8, 0.9]), false)
    expect([...sumC]).toEqual([10, 22, 30])
    expect([filledC, openDays]).toEqual([0, 0])
    expect(coverage).toBeCloseTo(2.9 / 3, 10)
  })

  test('of a season that has not begun sum to nothing', () => {
    expect(sumDegreeDays([], false)).toMatchObject({ filledC: 0, coverage: 0 })
  })
})

describe('holes', () => {
  test('of up to three days are filled from the days on both sides', () => {
    const { sumC, filledC, filledDays, openDays } = sumDegreeDays(
      season([10, 1], null, null, null, [14, 1]),
      false,
    )
    expect([...sumC]).toEqual([10, 22, 34, 46, 60])
    expect([filledC, filledDays, openDays]).toEqual([36, 3, 0])
  })

  test('of four days stay open, and the sum is a lower bound', () => {
    const { sumC, filledC, openDays } = sumDegreeDays(season([10, 1], null, null, null, null, [14, 1]), false)
    expect([...sumC]).toEqual([10, 10, 10, 10, 10, 24])
    expect([filledC, openDays]).toEqual([0, 4])
  })

  test('within a day are filled for the part that is missing', () => {
    const { sumC, filledC, coverage } = sumDegreeDays(season([10, 1], [5, 0.5], [10, 1]), false)
    expect([...sumC]).toEqual([10, 20, 30])
    expect(filledC).toBe(5)
    expect(coverage).toBeCloseTo(2.5 / 3, 10)
  })

  test('at the start or the end are filled from the one side there is', () => {
    expect([...sumDegreeDays(season(null, [10, 1], null), false).sumC]).toEqual([10, 20, 30])
  })

  test('with no whole day anywhere are not filled from nothing', () => {
    expect(sumDegreeDays(season(null, [2, 0.3]), false)).toMatchObject({ filledC: 0, openDays: 2 })
  })
})

describe('the running day', () => {
  test('counts what it has so far, is never filled, and fills no hole', () => {
    const { sumC, filledDays } = sumDegreeDays(season([10, 1], null, [3, 1]), true)
    expect([...sumC]).toEqual([10, 20, 23])
    expect(filledDays).toBe(1)
    expect([...sumDegreeDays(season([10, 1], [1, 0.2]), true).sumC]).toEqual([10, 11])
  })
})

test('the sum never falls, and filled and open days are the ones that are not whole', () => {
  const day = fc.oneof(
    fc.constant(null),
    fc.tuple(fc.double({ min: 0, max: 22, noNaN: true }), fc.double({ min: 0.01, max: 1, noNaN: true })),
  )
  fc.assert(
    fc.property(fc.array(day, { maxLength: 40 }), fc.boolean(), (days, isRunning) => {
      const { sumC, filledDays, openDays } = sumDegreeDays(season(...days), isRunning)
      for (const [i, sum] of sumC.entries()) expect(sum).toBeGreaterThanOrEqual(i === 0 ? 0 : sumC[i - 1]!)
      const over = isRunning ? days.slice(0, -1) : days
      expect(filledDays + openDays).toBe(over.filter((d) => d === null || d[1] < 0.8).length)
    }),
  )
})
