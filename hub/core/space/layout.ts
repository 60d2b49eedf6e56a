/** How many plants a bed or container holds, and where each of them stands, to scale. */
import {
  areaM2,
  checkGround,
  type EdgeRule,
  edgeRoomM,
  type Ground,
  narrowestM,
  SAME_M,
  type Spot,
} from './ground.js'
import { offsetSpots, squareSpots } from './rectangle-layouts.js'
import { cutFromRows, ringSpots } from './round-layouts.js'

/** square: plants side by side; offset: each row shifted by half a step (triangles); rings: round containers only. */
export type Pattern = 'square' | 'offset' | 'rings'

export interface Layout {
  readonly pattern: Pattern
  readonly edge: EdgeRule
  /** least distance between two plants, m */
  readonly spacingM: number
  /** how far plants keep from the edge, m */
  readonly fromEdgeM: number
  /** one for each plant */
  readonly spots: readonly Spot[]
}

/** The patterns that a ground can be planted in. */
export const patternsOf = (ground: Ground): readonly Pattern[] =>
  ground.shape === 'round' ? ['rings', 'offset', 'square'] : ['square', 'offset']

/**
 * Lays a ground out with plants at least a spacing apart.
 *
 * @param spacingM  between plants every way, m, > 0
 * @returns no spots where the ground is too narrow for one plant by the edge rule
 * @throws RangeError  a length is not positive, rings in a rectangle, or more than a million plants
 */
export function layOut(ground: Ground, spacingM: number, pattern: Pattern, edge: EdgeRule): Layout {
  checkGround(ground)
  if (!(spacingM > 0 && Number.isFinite(spacingM))) {
    throw new RangeError(`not a spacing in metres: ${spacingM}`)
  }
  if (areaM2(ground) / spacingM ** 2 > MOST_PLANTS) {
    throw new RangeError(`${spacingM} m apart makes more than a million plants: lay out a smaller piece`)
  }
  const fromEdgeM = edgeRoomM(edge, spacingM)
  return { pattern, edge, spacingM, fromEdgeM, spots: spotsIn(ground, spacingM, pattern, fromEdgeM) }
}

const MOST_PLANTS = 1_000_000

function spotsIn(ground: Ground, spacingM: number, pattern: Pattern, fromEdgeM: number): Spot[] {
  if (ground.shape === 'round') {
    const radiusM = ground.diameterM / 2
    const reachM = radiusM - fromEdgeM
    if (reachM < -SAME_M) return []
    if (pattern === 'rings') return ringSpots(Math.max(0, reachM), spacingM, radiusM)
    return cutFromRows(pattern, Math.max(0, reachM), spacingM, radiusM)
  }
  const standing = {
    lengthM: ground.lengthM - 2 * fromEdgeM,
    widthM: ground.widthM - 2 * fromEdgeM,
    fromEdgeM,
  }
  if (Math.min(standing.lengthM, standing.widthM) < -SAME_M) return []
  if (pattern === 'rings') throw new RangeError('rings are for round containers')
  return pattern === 'square' ? squareSpots(standing, spacingM) : offsetSpots(standing, spacingM)
}

/** The layout that holds most plants; of equals the plainest to lay out. */
export function fullestLayout(ground: Ground, spacingM: number, edge: EdgeRule): Layout {
  return patternsOf(ground)
    .map((pattern) => layOut(ground, spacingM, pattern, edge))
    .reduce((most, one) => (one.spots.length > most.spots.length ? one : most))
}

/** A spacing is told to the millimetre. */
const PRECISION_M = 0.0005

/**
 * The widest spacing at which the ground still holds so many plants in that pattern: what a grower can give each of them.
 *
 * @returns null for less than one plant, and for more than could be laid out
 */
export function widestSpacingM(
  ground: Ground,
  plants: number,
  pattern: Pattern,
  edge: EdgeRule,
): number | null {
  const holds = (spacingM: number): boolean => layOut(ground, spacingM, pattern, edge).spots.length >= plants
  if (!(plants >= 1)) return null
  // twice the length of the ground, or so far that a lone plant owns it
  let tooWide = 2 * longestM(ground)
  if (plants === 1) return edge === 'own-square' ? narrowestM(ground) : tooWide / 2
  // at least two rows and two columns, and four times the plants: less than half is lost to the edges each way
  let fits = Math.min(narrowestM(ground) / 2, Math.sqrt(areaM2(ground) / plants) / 4)
  if (!holds(fits)) return null
  while (tooWide - fits > PRECISION_M) {
    const middle = (fits + tooWide) / 2
    if (holds(middle)) fits = middle
    else tooWide = middle
  }
  return fits
}

const longestM = (ground: Ground): number =>
  ground.shape === 'round' ? ground.diameterM : Math.max(ground.lengthM, ground.widthM)
