/**
 * L. H. Bailey, Farm and Garden Rule-Book (1911 and later): number of plants required to set an acre of ground at given
 * distances, 43,560 square feet divided by the product of the distances, "full to the margin" (as reprinted at
 * chestofbooks.com). Rows with both distances equal. Counts are exact: tolerance none. The acre is laid out as a furlong by a
 * chain (660 × 66 ft), or a tenth of it (66 × 66 ft), which these distances divide.
 */
import { describe, expect, test } from 'vitest'
import { layOut } from '../../hub/core/space/layout.js'

const FOOT_M = 0.3048
/** [inches, plants an acre as printed] */
const ROWS: readonly (readonly [number, number])[] = [
  [1, 6_272_640],
  [2, 1_568_160],
  [4, 392_040],
]

describe('plants an acre, each with its own square', () => {
  test.each(ROWS)('%d in apart: %d', (inches, printed) => {
    const tenth = { shape: 'rectangle', lengthM: 66 * FOOT_M, widthM: 66 * FOOT_M } as const
    const { spots } = layOut(tenth, (inches * FOOT_M) / 12, 'square', 'own-square')
    expect(spots.length * 10).toBe(printed)
  })
})
