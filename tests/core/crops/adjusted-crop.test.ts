import { describe, expect, test } from 'vitest'
import {
  ADJUSTABLE,
  type Adjustable,
  adjustedCrop,
  adjustmentProblems,
} from '../../../hub/core/crops/adjusted-crop.js'
import { CROPS } from '../../../hub/core/crops/library.js'
import { stageMarks } from '../../../hub/core/crops/stages.js'

const cabbage = CROPS.get('cabbage-early')!
const kale = CROPS.get('kale')!

describe("a grower's own number", () => {
  test('takes the place of the library’s, and shows as theirs', () => {
    const own = adjustedCrop(cabbage, { degreeDaysToReady: 700, heatAboveC: 29 })
    expect(own.degreeDays.toReady).toEqual({
      value: 700,
      source: 'grower',
      note: 'yours; the library has 819',
    })
    expect(own.heat?.aboveC).toMatchObject({ value: 29, source: 'grower' })
    expect(stageMarks(own, 'planted-out').find((m) => m.stage === 'ready')?.degreeDaysC).toBe(700)
  })

  test('leaves the rest of the crop, and the library, as they were', () => {
    const before = structuredClone(cabbage)
    const own = adjustedCrop(cabbage, { betweenPlantsM: 0.5 })
    expect(cabbage).toEqual(before)
    expect({ ...own, spacing: cabbage.spacing }).toEqual(cabbage)
  })

  test('none at all gives the library’s crop', () => {
    expect(adjustedCrop(kale, {})).toEqual(kale)
  })
})

describe('numbers that make no sense are turned away', () => {
  const at = (field: Adjustable, value: number) => adjustmentProblems(cabbage, { [field]: value })

  test('outside the range of what can be', () => {
    expect(at('heatAboveC', 80)).toEqual([
      { field: 'heatAboveC', message: 'heat hours count above, °C: from 15 to 45, not 80' },
    ])
    expect(at('degreeDaysToReady', Number.NaN)).toHaveLength(1)
    expect(at('betweenPlantsM', 5)[0]?.message.replaceAll('\u00a0', ' ')).toBe(
      'between plants: from 2 cm to 3 m, not 5 m',
    )
  })

  test('where they do not apply', () => {
    expect(adjustmentProblems(kale, { heatAboveC: 27 })[0]?.message).toContain('does not apply to Kale')
  })

  test('out of order with what stays', () => {
    expect(at('degreeDaysToReady', 300)[0]).toMatchObject({ field: 'degreeDaysToReady' })
    expect(at('heatLikelyHours', 5)[0]).toMatchObject({ field: 'heatLikelyHours' })
    expect(at('degreeDaysToReady', 700)).toEqual([])
  })

  test('and every field that can be adjusted has a crop it applies to', () => {
    for (const field of Object.keys(ADJUSTABLE) as Adjustable[]) {
      const takers = [...CROPS.values()].filter((crop) => {
        const { min, max } = ADJUSTABLE[field]
        const tries = [min, (min + max) / 2, max, ...[0.1, 0.2, 0.3].map((part) => min + part * (max - min))]
        return tries.some((value) => adjustmentProblems(crop, { [field]: value }).length === 0)
      })
      expect(takers.length, field).toBeGreaterThan(0)
    }
  })
})
