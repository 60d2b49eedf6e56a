import { describe, expect, it } from 'vitest'
import { findCrop } from '../../../hub/core/crops/library.js'
import { futuresFromNormals, NORMAL_FUTURES, usualOn } from '../../../hub/core/crops/normal-futures.js'

const crop = findCrop('cabbage-early')!
const flat = (c: number): number[] => Array.from({ length: 12 }, () => c)

describe('usual temperatures by month', () => {
  it('hold in the middle of the month and run straight between', () => {
    const byMonth = Array.from({ length: 12 }, (_, i) => i)
    expect(usualOn(byMonth, '2027-07-16')).toBeCloseTo(6, 0)
    expect(usualOn(byMonth, '2027-08-01')).toBeCloseTo(6.5, 1)
    // from December to January
    expect(usualOn(byMonth, '2027-01-01')).toBeCloseTo(5.5, 0)
  })
})

describe('seasons to come from normals', () => {
  const futures = futuresFromNormals({ minC: flat(10), maxC: flat(20) }, crop, '2027-05-01', 90)
  const sums = futures.map((future) => future.reduce((sum, c) => sum + c, 0))

  it('are as many as the spread needs, the middle one usual', () => {
    expect(futures).toHaveLength(NORMAL_FUTURES)
    expect(sums[(NORMAL_FUTURES - 1) / 2]).toBeCloseTo(90 * (15 - 4.4), 0)
  })

  it('stray as far as seasons do: about a degree over a quarter', () => {
    const mean = sums.reduce((a, b) => a + b, 0) / sums.length
    const sd = Math.sqrt(sums.reduce((a, b) => a + (b - mean) ** 2, 0) / (sums.length - 1))
    expect(sd / 90).toBeGreaterThan(0.8)
    expect(sd / 90).toBeLessThan(1.05)
  })

  it('never give less than nothing, however cold', () => {
    const winter = futuresFromNormals({ minC: flat(-10), maxC: flat(-2) }, crop, '2027-12-01', 60)
    expect(Math.max(...winter.flatMap((future) => [...future]))).toBeLessThan(4)
    expect(Math.min(...winter.flatMap((future) => [...future]))).toBe(0)
  })
})
