/**
 * Cultural notes of a Tasmanian seed house (southernharvest.com.au, cabbage): early kinds planted out or sown from mid-September;
 * main-season cabbages planted from late October to the end of December; late kinds, if quick, until mid-February. Tolerance three
 * weeks. Normals of Hobart from memory.
 */
import { describe, expect, test } from 'vitest'
import { HOBART } from '../core/plan/support/climates.js'
import { bestWindow, daysOutside, planAt } from '../core/plan/support/guidance.js'

const TOLERANCE_DAYS = 21

describe('cabbage in Tasmania', () => {
  test('early kinds go out from about mid-September', () => {
    const spring = bestWindow(planAt(HOBART, 'cabbage-early'), 'under cover', 'warming')
    expect(daysOutside(spring.plantOutFrom!, { from: '09-15', to: '09-15' })).toBeLessThanOrEqual(
      TOLERANCE_DAYS,
    )
    expect(daysOutside(spring.best.plantOutOn!, { from: '09-15', to: '12-31' })).toBe(0)
  })

  test('main-season kinds are best planted between late October and the end of December', () => {
    const plan = planAt(HOBART, 'cabbage-mid')
    for (const season of ['warming', 'cooling'] as const) {
      const { best } = bestWindow(plan, 'under cover', season)
      expect(daysOutside(best.plantOutOn!, { from: '10-20', to: '12-31' })).toBe(0)
    }
  })

  test('quick kinds may still be planted until about mid-February', () => {
    const late = bestWindow(planAt(HOBART, 'cabbage-early'), 'under cover', 'cooling')
    expect(daysOutside(late.plantOutTo!, { from: '02-15', to: '02-15' })).toBeLessThanOrEqual(TOLERANCE_DAYS)
  })
})
