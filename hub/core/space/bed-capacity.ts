/** What a bed holds at a spacing, as one number to judge a planting by. */
import type { Bed } from '../../../shared/api/garden.js'
import { areaM2, type EdgeRule, type Ground, narrowestM, SAME_M } from './ground.js'
import { fullestLayout, layOut, type Pattern, widestSpacingM } from './layout.js'

/** The ground of a bed as its owner described it: lengths are all that is known of it. */
export const groundOf = ({ lengthM, widthM }: Pick<Bed, 'lengthM' | 'widthM'>): Ground => ({
  shape: 'rectangle',
  lengthM,
  widthM,
})

/** Beyond so many the edges hardly count, and laying them out would take longer than an answer may. */
const COUNTED = 20_000

/**
 * The most plants that stand a spacing apart, each with its own square within the ground; where the ground is narrower than
 * that square, as many as stand in it to the edge, and one plant always can.
 *
 * @param spacingM  m, > 0
 * @returns a whole number, at least 1
 */
export function holds(ground: Ground, spacingM: number): number {
  const byArea = areaM2(ground) / spacingM ** 2
  if (byArea > COUNTED) return Math.floor(byArea)
  const rule = spacingM > narrowestM(ground) + SAME_M ? 'to-the-edge' : 'own-square'
  return Math.max(1, fullestLayout(ground, spacingM, rule).spots.length)
}

/** More plants than these nobody spreads by the tape. */
export const MOST_SPREAD = 2_000

/**
 * The widest spacing, told to the millimetre, at which the ground holds so many plants, each with its own square.
 *
 * @returns null where that cannot be told: more plants than anybody would lay out
 */
export function widestForM(ground: Ground, plants: number): number | null {
  if (plants < 1 || plants > MOST_SPREAD) return null
  const [square, offset] = (['square', 'offset'] as const).map((pattern) =>
    widestToldM(ground, plants, pattern, 'own-square', widestSpacingM(ground, plants, pattern, 'own-square')),
  )
  return Math.max(square ?? 0, offset ?? 0) || null
}

/**
 * A widest spacing as a tape shows it, in whole millimetres: the next one up if so many still fit, else the one below.
 * What is told must fit.
 *
 * @param widest  as widestSpacingM found it; null: no such spacing
 */
export function widestToldM(
  ground: Ground,
  plants: number,
  pattern: Pattern,
  edge: EdgeRule,
  widest: number | null,
): number | null {
  if (widest === null) return null
  const up = Math.ceil(widest * 1000 - 1e-6) / 1000
  const fits = layOut(ground, up, pattern, edge).spots.length >= plants
  return fits ? up : Math.floor(widest * 1000 + 1e-6) / 1000
}
