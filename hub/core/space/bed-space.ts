/** All there is to say of so many plants of a crop in a bed or container at a spacing: what a page about space asks for. */
import type { Crop } from '../crops/crop.js'
import { MOST_SPREAD } from './bed-capacity.js'
import type { EdgeRule, Ground } from './ground.js'
import { groundPerPlantM2, type HeadSize, headSize } from './head-size.js'
import { type Layout, layOut, type Pattern, patternsOf, widestSpacingM } from './layout.js'
import { checkRoom, plantsBySoil, type RoomCheck } from './room-check.js'

export interface SpacedLayout extends Layout {
  /**
   * the widest spacing at which as many still fit: room that may be given to each; null: no plant fits, or
   * there are too many for anyone to spread them by hand
   */
  readonly couldBeM: number | null
}

export interface BedSpace {
  /** every pattern by both edge rules, the rule that tables count by first */
  readonly layouts: readonly SpacedLayout[]
  readonly room: RoomCheck
  /** in square rows and in shifted ones; null for crops without a trial of spacing */
  readonly head: { readonly square: HeadSize; readonly offset: HeadSize } | null
  /** plants that the soil feeds; null: open ground, or its depth is not known */
  readonly bySoil: number | null
}

const EDGE_RULES: readonly EdgeRule[] = ['own-square', 'to-the-edge']

/**
 * @param spacingM   between plants every way, m
 * @param depthM     of the soil, m; null: open ground below
 * @param headsLike  id of the library's crop that a crop of the garden's own is based on; its own id otherwise
 * @throws RangeError  a length is not positive
 */
export function bedSpace(
  crop: Crop,
  ground: Ground,
  spacingM: number,
  depthM: number | null,
  headsLike: string = crop.id,
): BedSpace {
  const layouts = EDGE_RULES.flatMap((edge) =>
    patternsOf(ground).map((pattern) => withRoom(ground, spacingM, pattern, edge)),
  )
  const square = headSize({ id: headsLike }, groundPerPlantM2(spacingM, 'square'))
  const offset = headSize({ id: headsLike }, groundPerPlantM2(spacingM, 'offset'))
  return {
    layouts,
    room: checkRoom(crop, ground, spacingM),
    head: square === null || offset === null ? null : { square, offset },
    bySoil: plantsBySoil(crop, ground, depthM),
  }
}

function withRoom(ground: Ground, spacingM: number, pattern: Pattern, edge: EdgeRule): SpacedLayout {
  const layout = layOut(ground, spacingM, pattern, edge)
  const plants = layout.spots.length
  const isSpread = plants > 0 && plants <= MOST_SPREAD
  return { ...layout, couldBeM: !isSpread ? null : widestSpacingM(ground, plants, pattern, edge) }
}
