/**
 * Florida Vegetable Gardening Guide, University of Florida IFAS (table of outdoor planting dates; copy at itgsurvive.com).
 * Central Florida: cabbage, broccoli and cauliflower September to February. Every window of ours must lie in those months:
 * no tolerance. Normals of Orlando from memory.
 */
import { describe, expect, test } from 'vitest'
import { ORLANDO } from '../core/plan/support/climates.js'
import { monthOf, planAt } from '../core/plan/support/guidance.js'

const SEPTEMBER_TO_FEBRUARY = [9, 10, 11, 12, 1, 2]

describe('central Florida', () => {
  test.each(['cabbage-early', 'cabbage-mid', 'cabbage-storage', 'broccoli', 'cauliflower'])('%s', (crop) => {
    const windows = planAt(ORLANDO, crop).windows.filter(({ way }) => way === 'under cover')
    expect(windows.length).toBeGreaterThan(0)
    for (const { plantOutFrom, plantOutTo, grade } of windows) {
      expect(grade).toBe('good')
      expect(SEPTEMBER_TO_FEBRUARY).toContain(monthOf(plantOutFrom!))
      expect(SEPTEMBER_TO_FEBRUARY).toContain(monthOf(plantOutTo!))
    }
  })
})
