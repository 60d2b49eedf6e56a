/**
 * Knott's Handbook for Vegetable Growers, 4th ed. 1997: monthly mean temperatures for best growth and quality, as reprinted
 * in UCSC's Teaching Organic Farming & Gardening, unit 1.3 appendix 5. °F: [crops, best from, best to, lowest, highest].
 * Our tables hold °C to one decimal: tolerance half of that digit.
 */
import { describe, expect, test } from 'vitest'
import { CROPS } from '../../hub/core/crops/library.js'

const ROWS: readonly [readonly string[], number, number, number, number][] = [
  [
    [
      'broccoli',
      'brussels-sprouts',
      'cabbage-early',
      'cabbage-mid',
      'cabbage-storage',
      'cabbage-savoy',
      'cabbage-giant',
      'kale',
      'kohlrabi',
      'radish',
      'spinach',
    ],
    60,
    65,
    40,
    75,
  ],
  [['cauliflower', 'celery', 'chinese-cabbage', 'lettuce-head', 'lettuce-leaf', 'pea'], 60, 65, 45, 75],
]
const celsius = (f: number): number => ((f - 32) * 5) / 9
const TOLERANCE_C = 0.05 + 1e-9

for (const [ids, bestFromF, bestToF, minF, maxF] of ROWS) {
  describe.each([...ids])('%s', (id) => {
    const crop = CROPS.get(id)!
    test.each([
      ['best from', bestFromF, crop.bestMeanC.from],
      ['best to', bestToF, crop.bestMeanC.to],
      ['lowest', minF, crop.minMeanC],
      ['highest', maxF, crop.maxMeanC],
    ] as const)('%s %d °F', (_what, printedF, { value, source }) => {
      expect(source).toBe('published')
      expect(Math.abs(value - celsius(printedF))).toBeLessThanOrEqual(TOLERANCE_C)
    })
  })
}
