/**
 * Trials of cabbage spacing. Head weights that our expectation (anchored on Kołota & Chohura, Acta Sci. Pol. Hort. Cult.:
 * 45 × 40 cm, heads of 1.0 to 2.0 kg) must be in line with:
 * - Stoffella & Fleming 1990, J. Amer. Soc. Hort. Sci. 115:708: at 23 cm in the row (41,000 plants/ha) and wider, trimmed
 *   heads over 1 kg; 8, 15, 23, 30, 38 cm in the row are 123,000, 61,500, 41,000, 30,800, 24,600 plants/ha.
 * - Bangladesh J. Agric. Res. 36(3): K-K Cross at 60 × 40 cm, 73.3 t/ha, so 1.76 kg a head.
 * - North Carolina State Extension: 9 to 12 in within rows 36 to 44 in apart for heads of 2 to 3 lb.
 * A range agrees if it overlaps the printed one.
 */
import { describe, expect, test } from 'vitest'
import { findCrop } from '../../hub/core/crops/library.js'
import { CLOSEST_CABBAGE_M, headSize } from '../../hub/core/space/head-size.js'
import { checkRoom } from '../../hub/core/space/room-check.js'

const INCH_M = 0.0254
const LB_KG = 0.4536
const TRIALS: readonly (readonly [name: string, perPlantM2: number, lowKg: number, highKg: number])[] = [
  ['Kołota & Chohura', 0.45 * 0.4, 1, 2],
  ['Stoffella & Fleming, 23 cm', 10_000 / 41_000, 1, Number.POSITIVE_INFINITY],
  ['Stoffella & Fleming, 38 cm', 10_000 / 24_600, 1, Number.POSITIVE_INFINITY],
  ['Bangladesh', 0.6 * 0.4, 1.76, 1.76],
  ['North Carolina, closest', 9 * 36 * INCH_M ** 2, 2 * LB_KG, 3 * LB_KG],
]

describe('cabbage heads by spacing', () => {
  test.each(TRIALS)('%s', (_, perPlantM2, lowKg, highKg) => {
    const size = headSize(findCrop('cabbage-mid')!, perPlantM2)!
    expect(size.lowKg.value).toBeLessThanOrEqual(highKg)
    expect(size.highKg.value).toBeGreaterThanOrEqual(lowKg)
  })

  test('15 cm in the row, a spacing that gave small and uneven heads, is called too tight', () => {
    const bed = { shape: 'rectangle', lengthM: 3, widthM: 1.2 } as const
    expect(CLOSEST_CABBAGE_M.value).toBe(0.23)
    expect(checkRoom(findCrop('cabbage-early')!, bed, 0.15).room).toBe('too-tight')
  })
})
