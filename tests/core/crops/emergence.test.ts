import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { emergenceProgress, soilForSowing } from '../../../hub/core/crops/emergence.js'
import { CROPS } from '../../../hub/core/crops/library.js'
import { addDays } from '../../../shared/local-time.js'

const crop = (id: string) => CROPS.get(id)!
const soil = (...meansC: readonly (number | null)[]) =>
  meansC.map((soilMeanC, i) => ({ date: addDays('2027-04-01', i), soilMeanC }))
const steady = (days: number, meanC: number) => soil(...Array.from({ length: days }, () => meanC))

describe('emergence', () => {
  test('at a steady temperature takes the days of the table', () => {
    expect(emergenceProgress(crop('cabbage-early'), steady(20, 15)).emergedOn).toBe('2027-04-09')
    expect(emergenceProgress(crop('lettuce-leaf'), steady(20, 10)).emergedOn).toBe('2027-04-07')
  })

  test('is half way after half the days', () => {
    expect(emergenceProgress(crop('cabbage-early'), steady(3, 20)).part).toBeCloseTo(0.5, 10)
  })

  test('waits in soil in which nothing comes up', () => {
    expect(emergenceProgress(crop('celery'), steady(60, 30))).toEqual({
      part: 0,
      emergedOn: null,
      unknownDays: 0,
    })
  })

  test('counts days it cannot judge', () => {
    expect(emergenceProgress(crop('cabbage-early'), soil(15, null, 4, 15))).toMatchObject({ unknownDays: 2 })
  })

  test('never goes back', () => {
    fc.assert(
      fc.property(
        fc.array(fc.option(fc.double({ min: -2, max: 42, noNaN: true }), { nil: null })),
        (means) => {
          const before = emergenceProgress(crop('spinach'), soil(...means.slice(0, -1)))
          const after = emergenceProgress(crop('spinach'), soil(...means))
          expect(after.part).toBeGreaterThanOrEqual(before.part)
        },
      ),
    )
  })
})

test.each([
  ['cabbage-early', 3, 'too cold'],
  ['cabbage-early', 7, 'slow'],
  ['cabbage-early', 10, 'slow'],
  ['cabbage-early', 13, 'fit'],
  ['cabbage-early', 36, 'too hot'],
  ['lettuce-head', 6, 'fit'],
  ['lettuce-head', 28, 'too hot'],
  ['celery', 23, 'too hot'],
  ['coriander', 15, 'fit'],
  ['coriander', 8, 'too cold'],
] as const)('soil for %s at %d °C is %s', (id, soilMeanC, verdict) => {
  expect(soilForSowing(crop(id), soilMeanC)).toBe(verdict)
})
