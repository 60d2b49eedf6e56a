/**
 * Charles Marr, Kansas State University: vegetable planting guide for eastern Kansas (published for free distribution; copy
 * at basicfoodstorage.blogspot.com, 2010). Cabbage: plant in late March, ready in July; plant in July, ready in October.
 * Normals of Manhattan, Kansas, measured. Tolerance two weeks; ready dates by the month, early kinds up to a month before.
 */
import { describe, expect, test } from 'vitest'
import { KANSAS } from '../core/plan/support/climates.js'
import { bestWindow, daysOutside, meets, planAt } from '../core/plan/support/guidance.js'

const TOLERANCE_DAYS = 14

describe('cabbage in eastern Kansas', () => {
  test('spring cabbage goes out in late March and is ripe by early summer', () => {
    const spring = bestWindow(planAt(KANSAS, 'cabbage-early'), 'under cover', 'warming')
    expect(meets(spring.plantOutFrom!, spring.plantOutTo!, { from: '03-20', to: '03-31' })).toBe(true)
    expect(daysOutside(spring.best.plantOutOn!, { from: '03-20', to: '03-31' })).toBeLessThanOrEqual(
      TOLERANCE_DAYS,
    )
    expect(daysOutside(spring.best.readyFrom!, { from: '06-01', to: '07-31' })).toBe(0)
  })

  test('autumn cabbage heads after the summer’s heat and is ready in October', () => {
    for (const kind of ['cabbage-early', 'cabbage-mid', 'cabbage-storage']) {
      const autumn = bestWindow(planAt(KANSAS, kind), 'under cover', 'cooling')
      expect(autumn.best.headingFrom! > '2026-08-25').toBe(true)
      expect(daysOutside(autumn.best.readyFrom!, { from: '10-01', to: '10-31' })).toBeLessThanOrEqual(
        TOLERANCE_DAYS,
      )
    }
  })

  test('kinds that take longest go out in July', () => {
    const autumn = bestWindow(planAt(KANSAS, 'cabbage-storage'), 'under cover', 'cooling')
    expect(meets(autumn.plantOutFrom!, autumn.plantOutTo!, { from: '07-01', to: '07-31' })).toBe(true)
    expect(daysOutside(autumn.best.plantOutOn!, { from: '07-01', to: '07-31' })).toBeLessThanOrEqual(
      TOLERANCE_DAYS,
    )
  })

  test('the plan says that both seasons are tight there', () => {
    const { windows } = planAt(KANSAS, 'cabbage-early')
    expect(windows.every(({ grade }) => grade !== 'good')).toBe(true)
    expect(windows.every(({ best }) => best.heat!.watch > 0.5)).toBe(true)
  })
})
