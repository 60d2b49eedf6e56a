/** Plants in a round container: rings from the rim inwards, or a piece cut out of square or offset rows. */
import { SAME_M, type Spot } from './ground.js'

/**
 * Rings: as many plants as the rim takes, then the next ring a spacing further in, with one plant in the middle where the
 * innermost ring leaves room for it. Up to nine plants no arrangement holds more (see the published circle packings in
 * the tests).
 *
 * @param reachM    how far from the middle a stem may stand; below 0: nothing fits
 * @param radiusM   of the container: the middle lies at (radius, radius)
 */
export function ringSpots(reachM: number, spacingM: number, radiusM: number): Spot[] {
  const spots: Spot[] = []
  for (let ringM = reachM; ringM >= -SAME_M; ringM -= spacingM) {
    const plants = onRing(ringM, spacingM)
    // a lone plant stands in the middle
    const atM = plants === 1 ? 0 : ringM
    for (let i = 0; i < plants; i++) {
      const angle = (2 * Math.PI * i) / plants
      spots.push({ xM: radiusM + atM * Math.cos(angle), yM: radiusM + atM * Math.sin(angle) })
    }
  }
  return spots
}

/** Plants on a circle with a spacing straight from each to the next: neighbours span an angle of 2 asin(s / 2r). */
function onRing(ringM: number, spacingM: number): number {
  if (2 * ringM < spacingM - SAME_M) return 1
  const half = Math.asin(Math.min(1, spacingM / (2 * ringM)))
  return Math.max(2, Math.floor(Math.PI / half + 1e-6))
}

/** Where the container's middle may fall on the pattern, in steps: on a plant, between two, between four or three. */
const PHASES = [0, 1 / 4, 1 / 3, 1 / 2, 2 / 3, 3 / 4]
/** In a container wider than so many spacings the rim matters little, and one place of the middle is tried. */
const WIDE = 30

/**
 * The most plants of endless rows that fall within the reach, over several places of the middle.
 *
 * @param pattern  square: rows a spacing apart; offset: even triangles
 */
export function cutFromRows(
  pattern: 'square' | 'offset',
  reachM: number,
  spacingM: number,
  radiusM: number,
): Spot[] {
  const rowM = pattern === 'square' ? spacingM : spacingM * Math.sqrt(0.75)
  const n = Math.ceil(reachM / rowM) + 2
  const phases = reachM > (WIDE / 2) * spacingM ? [0] : PHASES
  let most: Spot[] = []
  for (const phaseX of phases) {
    for (const phaseY of phases) {
      const spots: Spot[] = []
      for (let row = -n; row <= n; row++) {
        const shift = pattern === 'offset' && row % 2 !== 0 ? 0.5 : 0
        for (let i = -n; i <= n; i++) {
          const x = (i + shift + phaseX) * spacingM
          const y = (row + phaseY) * rowM
          if (Math.hypot(x, y) <= reachM + SAME_M) spots.push({ xM: radiusM + x, yM: radiusM + y })
        }
      }
      if (spots.length > most.length) most = spots
    }
  }
  return most
}
