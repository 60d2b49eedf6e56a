/**
 * Planting calendar for western Washington State (everthestudent.com/plantingcalendarwashington). February: start cabbage
 * indoors; March: transplant the February seedlings outdoors; July: start fall cabbage; August: plant out what was sown in
 * July. Normals of Seattle, measured. Whole months.
 */
import { describe, expect, test } from 'vitest'
import { SEATTLE } from '../core/plan/support/climates.js'
import { bestWindow, daysOutside, meets, planAt } from '../core/plan/support/guidance.js'

const TOLERANCE_DAYS = 14

describe('cabbage around Puget Sound', () => {
  const plan = planAt(SEATTLE, 'cabbage-early')

  test('spring cabbage: sown in February, planted out in March, ripe by early summer', () => {
    const spring = bestWindow(plan, 'under cover', 'warming')
    expect(spring.grade).toBe('good')
    expect(meets(spring.sowFrom, spring.sowTo, { from: '02-01', to: '02-28' })).toBe(true)
    expect(meets(spring.plantOutFrom!, spring.plantOutTo!, { from: '03-01', to: '03-31' })).toBe(true)
    expect(daysOutside(spring.best.sowOn, { from: '02-01', to: '02-28' })).toBeLessThanOrEqual(TOLERANCE_DAYS)
    expect(spring.best.readyFrom! < '2026-07-15').toBe(true)
  })

  test('fall cabbage: sown in July, planted out in August, heading after the summer’s heat', () => {
    const fall = bestWindow(plan, 'under cover', 'cooling')
    expect(fall.grade).toBe('good')
    expect(meets(fall.sowFrom, fall.sowTo, { from: '07-01', to: '07-31' })).toBe(true)
    expect(daysOutside(fall.best.plantOutOn!, { from: '08-01', to: '08-31' })).toBe(0)
    expect(fall.best.headingFrom! > '2026-08-25').toBe(true)
  })
})
