/**
 * Southeastern U.S. Vegetable Crop Handbook 2021, broccoli planting dates, eastern North Carolina: spring 15 February to 15
 * April, fall 1 August to 15 September. Our windows must meet these, the best week with a tolerance of three weeks: ours of
 * spring is two weeks early, for it minds heat in May more than frost in February, which a fleece keeps off. Normals from
 * memory.
 */
import { describe, expect, test } from 'vitest'
import { EASTERN_CAROLINA } from '../core/plan/support/climates.js'
import { bestWindow, daysOutside, meets, planAt } from '../core/plan/support/guidance.js'

const TOLERANCE_DAYS = 21
const PUBLISHED = {
  warming: { from: '02-15', to: '04-15' },
  cooling: { from: '08-01', to: '09-15' },
} as const

describe('broccoli in eastern North Carolina', () => {
  const plan = planAt(EASTERN_CAROLINA, 'broccoli')
  test.each(['warming', 'cooling'] as const)('planted out for heads in %s weather', (season) => {
    const { best, plantOutFrom, plantOutTo } = bestWindow(plan, 'under cover', season)
    expect(meets(plantOutFrom!, plantOutTo!, PUBLISHED[season])).toBe(true)
    expect(daysOutside(best.plantOutOn!, PUBLISHED[season])).toBeLessThanOrEqual(TOLERANCE_DAYS)
    expect(best.headingFrom! > '2026-09-10' || best.readyFrom!.slice(5) < '06-10').toBe(true)
  })
})
