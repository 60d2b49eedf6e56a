import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { daysToEmergence } from '../../../hub/core/crops/germination.js'
import { CROPS } from '../../../hub/core/crops/library.js'

const crop = (id: string) => CROPS.get(id)!

describe('between tested temperatures', () => {
  test('the rate of emergence is straight, not the days', () => {
    // 9 days at 15 °C, 6 at 20 °C: half way the rate is (1/9 + 1/6) / 2
    expect(daysToEmergence(crop('cabbage-early'), 17.5).days).toBeCloseTo(7.2, 10)
  })

  test('days lie between those of the neighbours', () => {
    fc.assert(
      fc.property(fc.double({ min: 10, max: 30, noNaN: true }), (soilTempC) => {
        const { days } = daysToEmergence(crop('cabbage-mid'), soilTempC)
        expect(days).toBeGreaterThanOrEqual(4)
        expect(days).toBeLessThanOrEqual(15)
      }),
    )
  })

  test('it slows to nothing towards a temperature at which nothing came up', () => {
    expect(daysToEmergence(crop('lettuce-head'), 32.5).days).toBeCloseTo(6, 10)
    expect(daysToEmergence(crop('lettuce-head'), 34.9).days).toBeGreaterThan(100)
  })
})

describe('where there is no figure, it says why', () => {
  test.each([
    ['lettuce-head', 35, 'too hot'],
    ['lettuce-head', 44, 'too hot'],
    ['lettuce-head', -1, 'not tested'],
    ['celery', 0, 'too cold'],
    ['celery', -3, 'too cold'],
    ['celery', 25, 'too hot'],
    ['celery', 30, 'too hot'],
    ['cabbage-early', 5, 'not tested'],
    ['cabbage-early', 38, 'not tested'],
    ['coriander', 15, 'not tested'],
  ] as const)('%s at %d °C: %s', (id, soilTempC, reason) => {
    expect(daysToEmergence(crop(id), soilTempC)).toEqual({ days: null, reason })
  })

  test('a temperature that is none is a misuse', () => {
    expect(() => daysToEmergence(crop('pea'), Number.NaN)).toThrow(RangeError)
  })
})
