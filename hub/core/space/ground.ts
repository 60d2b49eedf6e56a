/**
 * Where plants are to stand: a bed or container as a shape, in metres. This folder is geometry and what is known of spacing;
 * it imports only core and shared. Feet and inches are the page's business.
 */

export type Ground =
  | { readonly shape: 'rectangle'; readonly lengthM: number; readonly widthM: number }
  | { readonly shape: 'round'; readonly diameterM: number }

/** Metres from the lower left corner of the rectangle that holds the ground. */
export interface Spot {
  readonly xM: number
  readonly yM: number
}

/**
 * How close to the edge a plant may stand.
 *
 * - `own-square`: each plant owns a square (in a round container a circle) of the spacing's width, and that lies within the
 *   ground: half a spacing to every edge. What plants-per-area tables count.
 * - `to-the-edge`: plants stand up to a hand's width from the edge and their leaves hang over it: more plants, if the paths
 *   allow and the soil feeds them.
 */
export type EdgeRule = 'own-square' | 'to-the-edge'

/** A hand's width: nearer to the board the soil dries and a root ball finds no room. Common practice. */
export const HAND_M = 0.1

/** How far from the edge the nearest plant stands, m. Never more than half a spacing. */
export const edgeRoomM = (edge: EdgeRule, spacingM: number): number =>
  edge === 'own-square' ? spacingM / 2 : Math.min(HAND_M, spacingM / 2)

/** Lengths that differ by less than this are the same: a tape measure's 16 in and 0.4064 m. */
export const SAME_M = 1e-6

/** Whole times that a step fits into a stretch, forgiving the last decimals; -1 where there is no stretch. */
export const stepsIn = (stretchM: number, stepM: number): number =>
  stretchM < -SAME_M ? -1 : Math.floor((stretchM + SAME_M) / stepM)

/**
 * @returns the ground's area, m²
 */
export const areaM2 = (ground: Ground): number =>
  ground.shape === 'round' ? (Math.PI * ground.diameterM ** 2) / 4 : ground.lengthM * ground.widthM

/**
 * @returns the widest circle that fits, m: no spacing wider than this leaves room for one plant with its own square
 */
export const narrowestM = (ground: Ground): number =>
  ground.shape === 'round' ? ground.diameterM : Math.min(ground.lengthM, ground.widthM)

/**
 * @throws RangeError  a length is not a positive number
 */
export function checkGround(ground: Ground): void {
  const lengths = ground.shape === 'round' ? [ground.diameterM] : [ground.lengthM, ground.widthM]
  for (const length of lengths) {
    if (!(length > 0 && Number.isFinite(length))) throw new RangeError(`not a length in metres: ${length}`)
  }
}
