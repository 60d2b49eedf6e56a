/**
 * gemuese-info.de, Anbau von Weißkohl im Garten. Early cabbage: sown under glass in February, planted out at the beginning of
 * April, cut from June on. Cabbage for autumn and winter: planted out by the end of June at the latest. Tolerance two
 * weeks. Normals of Leipzig from memory.
 */
import { describe, expect, test } from 'vitest'
import { LEIPZIG } from '../core/plan/support/climates.js'
import { bestWindow, daysOutside, meets, planAt } from '../core/plan/support/guidance.js'

const TOLERANCE_DAYS = 14

describe('white cabbage in Germany', () => {
  test('early kinds are sown in February, planted in early April and cut from June on', () => {
    const spring = bestWindow(planAt(LEIPZIG, 'cabbage-early'), 'under cover', 'warming')
    expect(meets(spring.sowFrom, spring.sowTo, { from: '02-01', to: '02-28' })).toBe(true)
    expect(meets(spring.plantOutFrom!, spring.plantOutTo!, { from: '04-01', to: '04-10' })).toBe(true)
    expect(daysOutside(spring.readyFrom, { from: '06-01', to: '06-30' })).toBe(0)
  })

  test('storage kinds for autumn are best planted by the end of June', () => {
    const autumn = bestWindow(planAt(LEIPZIG, 'cabbage-storage'), 'under cover', 'cooling')
    expect(autumn.grade).toBe('good')
    expect(daysOutside(autumn.best.plantOutOn!, { from: '05-15', to: '06-30' })).toBeLessThanOrEqual(
      TOLERANCE_DAYS,
    )
    expect(daysOutside(autumn.plantOutTo!, { from: '05-15', to: '06-30' })).toBeLessThanOrEqual(
      TOLERANCE_DAYS,
    )
  })
})
