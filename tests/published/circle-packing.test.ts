/**
 * The smallest round container that holds n circles of width 1 (n plants, each with its own circle): Kravitz 1967, Pirl
 * 1969, Melissen 1994, as collected by Graham, Lubachevsky, Nurmela & Östergård 1998, Discrete Math. 181:139. Ratio of the
 * two diameters, from memory to three decimals and agreeing with the closed forms (3 circles: 1 + 2/√3; 7: 3; 19: 1 + √2 +
 * √6). No arrangement holds more, so ours may not; up to nine plants the rings must reach it.
 */
import { describe, expect, test } from 'vitest'
import { fullestLayout, layOut } from '../../hub/core/space/layout.js'

const SMALLEST: readonly (readonly [plants: number, ratio: number])[] = [
  [1, 1],
  [2, 2],
  [3, 2.155],
  [4, 2.415],
  [5, 2.702],
  [6, 3],
  [7, 3],
  [8, 3.305],
  [9, 3.614],
  [10, 3.813],
  [11, 3.924],
  [12, 4.03],
  [19, 4.864],
]
const HALF_DIGIT = 0.0005

describe('plants in a round container', () => {
  test.each(SMALLEST.filter(([plants]) => plants <= 9))(
    '%d plants stand in one of %f spacings',
    (n, ratio) => {
      const pot = { shape: 'round', diameterM: (ratio + HALF_DIGIT) * 0.3 } as const
      expect(layOut(pot, 0.3, 'rings', 'own-square').spots.length).toBeGreaterThanOrEqual(n)
    },
  )

  test.each(SMALLEST.filter(([plants]) => plants > 1))(
    'fewer than %d plants in less than %f spacings',
    (n, ratio) => {
      const pot = { shape: 'round', diameterM: (ratio - 2 * HALF_DIGIT) * 0.3 } as const
      expect(fullestLayout(pot, 0.3, 'own-square').spots.length).toBeLessThan(n)
    },
  )
})
