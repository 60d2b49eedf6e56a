/**
 * University of Minnesota Extension, Growing cabbage in home gardens (copy read): for a fall crop sow in the garden in early July;
 * for a summer crop start indoors in spring. Tolerance one week. Normals of Minneapolis from memory.
 *
 * Of the summer crop the plan thinks less than the extension does, and says why: heads form in weather warmer than the handbook's
 * best for cabbage, with heat to harm them in most years. It is still the least bad of that season.
 */
import { describe, expect, test } from 'vitest'
import { MINNEAPOLIS } from '../core/plan/support/climates.js'
import { bestWindow, daysOutside, monthOf, planAt } from '../core/plan/support/guidance.js'

describe('cabbage in Minnesota', () => {
  const plan = planAt(MINNEAPOLIS, 'cabbage-early')

  test('is sown in the garden in early July for the fall', () => {
    const { best } = bestWindow(plan, 'direct', 'cooling')
    expect(daysOutside(best.sowOn, { from: '07-01', to: '07-10' })).toBeLessThanOrEqual(7)
    expect(best.soil).toBe('fit')
  })

  test('for summer is started indoors and planted out in April and May, at a risk of heat that the plan names', () => {
    const { grade, plantOutFrom, plantOutTo, best } = bestWindow(plan, 'under cover', 'warming')
    expect(grade).not.toBe('good')
    expect(monthOf(plantOutFrom!)).toBe(4)
    expect(monthOf(plantOutTo!)).toBe(5)
    expect(best.headingMeanC!).toBeGreaterThan(18.3)
    expect(best.heat!.watch).toBeGreaterThan(0.9)
    expect(best.readyFrom! < '2026-07-15').toBe(true)
  })
})
