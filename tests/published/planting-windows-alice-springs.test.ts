/**
 * Northern Territory Government, Agnote B27 (2007), Growing cabbages around Alice Springs: plant from January through to September,
 * late kinds not towards the end. Every window must lie in those months. Normals of Alice Springs from memory. South of
 * the equator, with a summer no cabbage bears.
 */
import { describe, expect, test } from 'vitest'
import { ALICE_SPRINGS } from '../core/plan/support/climates.js'
import { monthOf, planAt } from '../core/plan/support/guidance.js'

describe('cabbage around Alice Springs', () => {
  test.each(['cabbage-early', 'cabbage-mid', 'cabbage-storage'])('%s', (crop) => {
    const windows = planAt(ALICE_SPRINGS, crop).windows.filter(({ way }) => way === 'under cover')
    expect(windows.length).toBeGreaterThan(0)
    for (const { plantOutFrom, plantOutTo } of windows) {
      expect(monthOf(plantOutFrom!)).toBeLessThanOrEqual(9)
      expect(monthOf(plantOutTo!)).toBeLessThanOrEqual(9)
    }
  })
})
