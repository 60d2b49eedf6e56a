import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  fixedThreshold,
  type MaximumDay,
  meanThreshold,
  percentileThreshold,
  warmSpells,
} from '../../../hub/core/heat/warm-spells.js'
import { addDays } from '../../../shared/local-time.js'

const days = (firstDate: string, ...maximaC: readonly (number | null)[]): MaximumDay[] =>
  maximaC.map((maxC, i) => ({ date: addDays(firstDate, i), maxC }))

describe('with a fixed threshold', () => {
  test('a spell runs from its first to its last warm day', () => {
    expect(warmSpells(days('2027-07-01', 25, 28, 31, 29, 26), fixedThreshold(27), 3)).toEqual([
      { fromDate: '2027-07-02', toDate: '2027-07-04', days: 3, highestC: 31, excessC: 7 },
    ])
  })

  test('a day exactly at the threshold is not above it', () => {
    expect(warmSpells(days('2027-07-01', 28, 27, 28), fixedThreshold(27), 2)).toEqual([])
  })

  test('two warm days are no spell of three', () => {
    expect(warmSpells(days('2027-07-01', 28, 28, 20), fixedThreshold(27), 3)).toEqual([])
  })

  test('a day that is not known, or not in the record, ends a spell', () => {
    expect(warmSpells(days('2027-07-01', 28, 28, null, 28), fixedThreshold(27), 3)).toEqual([])
    const withGap = [...days('2027-07-01', 28, 28), ...days('2027-07-04', 28, 28)]
    expect(warmSpells(withGap, fixedThreshold(27), 3)).toEqual([])
    expect(warmSpells(withGap, fixedThreshold(27), 2)).toHaveLength(2)
  })

  test('a spell still running at the end of the record counts', () => {
    expect(warmSpells(days('2027-07-01', 20, 28, 29, 30), fixedThreshold(27), 3)).toHaveLength(1)
  })

  test('every warm day is in exactly one spell of one day or more, and no other day is', () => {
    const maximum = fc.option(fc.integer({ min: 20, max: 34 }), { nil: null })
    fc.assert(
      fc.property(fc.array(maximum, { maxLength: 60 }), (maxima) => {
        const spells = warmSpells(days('2027-06-01', ...maxima), fixedThreshold(27), 1)
        expect(spells.reduce((sum, spell) => sum + spell.days, 0)).toBe(
          maxima.filter((maxC) => maxC !== null && maxC > 27).length,
        )
      }),
    )
  })
})

describe('with a threshold from the past', () => {
  // ten years in which the maximum of a date is its year's number
  const past = Array.from({ length: 10 }, (_, year) =>
    days(`${2010 + year}-01-01`, ...Array.from({ length: 365 }, () => 10 + year)),
  ).flat()

  test('the 90th percentile lies between the two warmest tenths', () => {
    // 50 values, 10 to 19 five times each: rank 44.1 lies between the last 18 and the first 19
    expect(percentileThreshold(past, 90, 5)('2027-07-01')).toBeCloseTo(18.1, 10)
    expect(percentileThreshold(past, 50, 5)('2027-07-01')).toBeCloseTo(14.5, 10)
  })

  test('the mean of the window is raised by so many degrees', () => {
    expect(meanThreshold(past, 5, 5)('2027-07-01')).toBeCloseTo(19.5, 10)
  })

  test('the window reaches over the turn of the year and takes leap days in', () => {
    expect(percentileThreshold(past, 90, 15)('2027-01-01')).not.toBeNull()
    expect(percentileThreshold(past, 90, 15)('2028-02-29')).toBe(
      percentileThreshold(past, 90, 15)('2027-02-28'),
    )
  })

  test('too short a past gives no threshold, and then no spell', () => {
    const twoYears = past.slice(0, 730)
    const threshold = percentileThreshold(twoYears, 90, 5)
    expect(threshold('2027-07-01')).toBeNull()
    expect(warmSpells(days('2027-07-01', 40, 40, 40), threshold, 3)).toEqual([])
  })
})

test('misuse is refused', () => {
  expect(() => warmSpells([], fixedThreshold(27), 0)).toThrow(RangeError)
  expect(() => percentileThreshold([], 90, 4)).toThrow(RangeError)
})
