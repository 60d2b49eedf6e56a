/**
 * Harrington & Minges 1954, Vegetable seed germination, Univ. California Agric. Ext. mimeo leaflet: days from sowing to
 * emergence by soil temperature, seed 13 mm (1/2 in) deep; as printed in Knott's Handbook for Vegetable Growers and
 * reprinted in UCSC's Teaching Organic Farming & Gardening, unit 1.3. Columns 32, 41 … 104 °F, nominally 0, 5 … 40 °C.
 * Whole days, exact at the tested temperatures. NG: nothing germinated; a dash: not tested.
 */
import { describe, expect, test } from 'vitest'
import { daysToEmergence } from '../../hub/core/crops/germination.js'
import { CROPS } from '../../hub/core/crops/library.js'

const COLUMNS_C = [0, 5, 10, 15, 20, 25, 30, 35, 40]
const TABLE: readonly [crops: readonly string[], row: string][] = [
  [
    ['cabbage-early', 'cabbage-mid', 'cabbage-storage', 'cabbage-savoy', 'cabbage-giant'],
    '- - 15 9 6 5 4 - -',
  ],
  [['cauliflower'], '- - 20 10 6 5 5 - -'],
  [['lettuce-head', 'lettuce-leaf'], '49 15 7 4 3 2 3 NG NG'],
  [['spinach'], '63 23 12 7 6 5 6 NG NG'],
  [['pea'], '- 36 14 9 8 6 6 - -'],
  [['radish'], 'NG 29 11 6 4 4 3 - -'],
  [['celery'], 'NG 41 16 12 7 NG NG NG -'],
]

for (const [ids, row] of TABLE) {
  const cells = row.split(' ')
  describe.each([...ids])('%s', (id) => {
    test.each(COLUMNS_C.map((soilTempC, i) => [soilTempC, cells[i]!] as const))(
      'at %d °C: %s',
      (soilTempC, cell) => {
        const crop = CROPS.get(id)!
        expect(crop.germination.source).toBe('published')
        const { days, reason } = daysToEmergence(crop, soilTempC)
        if (cell === '-') expect(days).toBeNull()
        else if (cell === 'NG') expect(reason).toMatch(/^too (cold|hot)$/)
        else expect(days).toBeCloseTo(Number(cell), 10)
      },
    )
  })
}
