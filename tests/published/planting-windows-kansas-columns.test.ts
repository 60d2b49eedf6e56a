/**
 * Kansas garden columns. Ward Upham, Kansas State University (Rural Messenger, "Use a vegetable garden planting calendar"):
 * cabbage seeded on 4 February, planted out on 1 April. Rip Winkel (Great Bend Tribune, "It's time to plan(t) fall harvest"):
 * seed cabbage in a sheltered place in mid-July, plant out in the second week of August. Tolerance two weeks.
 */
import { describe, expect, test } from 'vitest'
import { KANSAS } from '../core/plan/support/climates.js'
import { bestWindow, daysOutside, planAt } from '../core/plan/support/guidance.js'

const TOLERANCE_DAYS = 14

describe('cabbage in Kansas', () => {
  test('for spring it is seeded in early February and planted out around the first of April', () => {
    const { best, plantOutFrom, plantOutTo } = bestWindow(
      planAt(KANSAS, 'cabbage-early'),
      'under cover',
      'warming',
    )
    expect(daysOutside(best.sowOn, { from: '02-04', to: '02-04' })).toBeLessThanOrEqual(TOLERANCE_DAYS)
    expect(plantOutFrom! <= '2026-04-01' && plantOutTo! >= '2026-04-01').toBe(true)
  })

  test('for autumn a middling kind is seeded in July and planted out in the second week of August', () => {
    const { best } = bestWindow(planAt(KANSAS, 'cabbage-mid'), 'under cover', 'cooling')
    expect(daysOutside(best.sowOn, { from: '07-10', to: '07-20' })).toBeLessThanOrEqual(TOLERANCE_DAYS)
    expect(daysOutside(best.plantOutOn!, { from: '08-08', to: '08-14' })).toBeLessThanOrEqual(TOLERANCE_DAYS)
  })
})
