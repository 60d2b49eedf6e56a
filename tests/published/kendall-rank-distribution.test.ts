/**
 * Exact distribution of Kendall's S (pairs alike less pairs contrary) without ties: M. G. Kendall, "A New Measure of Rank
 * Correlation", Biometrika 30 (1938), 81–93: numbers of permutations by S are the Mahonian numbers (OEIS A008302), here
 * rows 4, 5 and 8 of that triangle as published there.
 */
import { expect, it } from 'vitest'
import { rankAgreement } from '../../hub/core/review/rank-agreement.js'

/** permutations of n things with 0, 1, 2 … inversions */
const ROWS: readonly (readonly [n: number, permutations: readonly number[]])[] = [
  [4, [1, 3, 5, 6, 5, 3, 1]],
  [5, [1, 4, 9, 15, 20, 22, 20, 15, 9, 4, 1]],
  [8, [1, 7, 27, 76, 174, 343, 602, 961, 1415, 1940, 2493, 3017, 3450, 3736, 3836]],
]

const factorial = (n: number): number => (n < 2 ? 1 : n * factorial(n - 1))

/** n things in order, but for so many inversions. */
function withInversions(n: number, inversions: number): number[] {
  const order = Array.from({ length: n }, (_, i) => i)
  let left = inversions
  for (let end = n - 1; left > 0; end--) {
    for (let i = 0; i < end && left > 0; i++) {
      const held = order[i]!
      order[i] = order[i + 1]!
      order[i + 1] = held
      left--
    }
  }
  return order
}

it.each(ROWS)('of %i things the chance is the published share of orders', (n, permutations) => {
  const straight = Array.from({ length: n }, (_, i) => i)
  const pairs = (n * (n - 1)) / 2
  for (let inversions = 0; inversions < pairs / 2 && inversions < permutations.length; inversions++) {
    const asGood = permutations.slice(0, inversions + 1).reduce((sum, orders) => sum + orders, 0)
    const { alike, contrary, chance } = rankAgreement(straight, withInversions(n, inversions))
    expect([alike, contrary]).toEqual([pairs - inversions, inversions])
    // both tails
    expect(chance).toBeCloseTo((2 * asGood) / factorial(n), 12)
  }
})
