/**
 * Alameda County Master Gardeners (University of California), planting recommendations for west of the hills: cabbage,
 * broccoli and cauliflower as seedlings July to September, and February to March. Normals of Oakland from memory. The best
 * autumn week must lie within; of spring the windows must meet (cool summers leave ours open far longer than the list does).
 */
import { describe, expect, test } from 'vitest'
import { OAKLAND } from '../core/plan/support/climates.js'
import { bestWindow, daysOutside, meets, planAt } from '../core/plan/support/guidance.js'

describe('on San Francisco Bay', () => {
  test.each(['cabbage-early', 'cabbage-mid', 'broccoli', 'cauliflower'])('%s', (crop) => {
    const plan = planAt(OAKLAND, crop)
    const autumn = bestWindow(plan, 'under cover', 'cooling')
    const spring = bestWindow(plan, 'under cover', 'warming')
    expect(daysOutside(autumn.best.plantOutOn!, { from: '07-01', to: '09-30' })).toBe(0)
    expect(meets(spring.plantOutFrom!, spring.plantOutTo!, { from: '02-01', to: '03-31' })).toBe(true)
  })
})
