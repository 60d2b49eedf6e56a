/**
 * Royal Horticultural Society, Grow your own cabbages (rhs.org.uk/vegetables/cabbages/grow-your-own), southern England.
 * Summer cabbages: sow from late February or early March under cover until early May, plant out in May and June. Winter
 * cabbages: sow in April and May, plant out from late June through July. Spring cabbages: sow in July and August, plant out in
 * September and October. Tolerance two weeks: the calendar names months, our normals are rounded and from memory.
 */
import { describe, expect, test } from 'vitest'
import { SURREY } from '../core/plan/support/climates.js'
import { bestWindow, daysOutside, meets, planAt, weekPlantedNear } from '../core/plan/support/guidance.js'

const TOLERANCE_DAYS = 14

describe('cabbage in southern England', () => {
  test('summer cabbages are sown from late February and planted out until June', () => {
    const spring = bestWindow(planAt(SURREY, 'cabbage-early'), 'under cover', 'warming')
    expect(spring.grade).toBe('good')
    expect(daysOutside(spring.best.sowOn, { from: '02-20', to: '05-07' })).toBe(0)
    expect(daysOutside(spring.sowFrom, { from: '02-20', to: '05-07' })).toBeLessThanOrEqual(TOLERANCE_DAYS)
    expect(meets(spring.plantOutFrom!, spring.plantOutTo!, { from: '05-01', to: '06-30' })).toBe(true)
  })

  test('winter cabbages, storage kinds, are sown in April and May and planted out by July', () => {
    const autumn = bestWindow(planAt(SURREY, 'cabbage-storage'), 'under cover', 'cooling')
    expect(daysOutside(autumn.best.sowOn, { from: '04-01', to: '05-31' })).toBe(0)
    expect(meets(autumn.plantOutFrom!, autumn.plantOutTo!, { from: '06-20', to: '07-31' })).toBe(true)
  })

  test('cabbages set out in late September stand through the winter: usual kinds are then warned of, for they may bolt', () => {
    // the calendar's spring cabbages are kinds bred not to; the library has none of them
    const week = weekPlantedNear(planAt(SURREY, 'cabbage-early'), '09-27')
    expect(week.readyFrom! > '2027-02-01').toBe(true)
    expect(week.coldBolting!.likely).toBeGreaterThan(0.8)
  })
})
