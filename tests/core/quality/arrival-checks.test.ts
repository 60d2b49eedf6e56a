import { describe, expect, test } from 'vitest'
import { arrivalFlags } from '../../../hub/core/quality/arrival-checks.js'
import { FLAG, isGood } from '../../../shared/quality-flags.js'

const NOW = Date.UTC(2027, 5, 1, 12)
const HORIZON_MS = 400 * 86_400_000
const flagsOf = (quantity: string, value: number, timeMs = NOW): number =>
  arrivalFlags(quantity, value, timeMs, NOW, HORIZON_MS)

describe('a value by itself', () => {
  test('an everyday reading of each quantity carries no flag', () => {
    expect(flagsOf('air-temp', 17.4)).toBe(0)
    expect(flagsOf('soil-temp', 14.9)).toBe(0)
    expect(flagsOf('light', 38_100)).toBe(0)
    expect(flagsOf('irradiance', -2.1)).toBe(0)
    expect(flagsOf('humidity', 100)).toBe(0)
    expect(flagsOf('battery', 3.9)).toBe(0)
  })

  test.each([
    ['air-temp', 60.1],
    ['air-temp', -50.1],
    ['soil-temp', 51],
    ['light', -1],
    ['light', 200_001],
    ['humidity', 106],
    ['irradiance', 1_700],
  ])('%s of %d is outside what can be outdoors', (quantity, value) => {
    expect(flagsOf(quantity, value)).toBe(FLAG.range)
  })

  test.each([85, 85.000_01, -127, -126.999_99])(
    '%d °C is a driver saying that it has no reading',
    (value) => {
      expect(flagsOf('air-temp', value)).toBe(FLAG.sentinel)
      expect(flagsOf('soil-temp', value)).toBe(FLAG.sentinel)
    },
  )

  test('85 is a sentinel for temperatures only', () => {
    expect(flagsOf('humidity', 85)).toBe(0)
    expect(flagsOf('light', 85)).toBe(0)
    expect(flagsOf('compost-temp', 85)).toBe(0)
  })

  test.each([54_612.5, 54_612, 54_613, 65_535, 121_557, 83_865.6])(
    '%d lx is a sensor at its ceiling, which stays in the figures as a lower bound',
    (value) => {
      expect(flagsOf('light', value)).toBe(FLAG.ceiling)
      expect(isGood(flagsOf('light', value))).toBe(true)
    },
  )

  test('a fractional reading that happens to fall beside a ceiling is a reading', () => {
    expect(flagsOf('light', 54_612.93)).toBe(0)
    expect(flagsOf('light', 54_611)).toBe(0)
  })

  test('a quantity nobody has described is taken as it comes', () => {
    expect(flagsOf('leaf-wetness', -1e9)).toBe(0)
  })

  test('a value that is no number is a misuse, not a reading', () => {
    expect(() => flagsOf('air-temp', Number.NaN)).toThrow(RangeError)
    expect(() => flagsOf('air-temp', 20, Number.POSITIVE_INFINITY)).toThrow(RangeError)
  })
})

describe("the node's clock", () => {
  test('ten minutes ahead passes, a millisecond more is doubted', () => {
    expect(flagsOf('air-temp', 17, NOW + 600_000)).toBe(0)
    expect(flagsOf('air-temp', 17, NOW + 600_001)).toBe(FLAG.clock)
  })

  test('a backlog up to the horizon passes, 1970 does not', () => {
    expect(flagsOf('air-temp', 17, NOW - HORIZON_MS)).toBe(0)
    expect(flagsOf('air-temp', 17, NOW - HORIZON_MS - 1)).toBe(FLAG.clock)
    expect(flagsOf('air-temp', 17, 0)).toBe(FLAG.clock)
  })

  test('an endless horizon takes readings of any age', () => {
    expect(arrivalFlags('air-temp', 17, Date.UTC(1951, 6), NOW, Number.POSITIVE_INFINITY)).toBe(0)
  })

  test('a wrong clock does not hide a wrong value', () => {
    expect(flagsOf('air-temp', 85, NOW + 3_600_000)).toBe(FLAG.clock | FLAG.sentinel)
  })
})

describe('a clock that nobody has set', () => {
  const arrivesYearsLater = (timeMs: number): number =>
    arrivalFlags('air-temp', 17.4, timeMs, NOW, Number.POSITIVE_INFINITY)

  test.each(['1970-01-01T00:03:00Z', '2000-01-01T00:00:10Z', '2000-06-30T12:00:00Z'])(
    '%s is its first year',
    (time) => {
      expect(arrivesYearsLater(Date.parse(time))).toBe(FLAG.clock)
    },
  )

  test.each(['1998-07-01T12:00:00Z', '2001-01-01T00:00:00Z', '2016-05-01T12:00:00Z'])(
    'weather of %s can be brought in',
    (time) => {
      expect(arrivesYearsLater(Date.parse(time))).toBe(0)
    },
  )
})
