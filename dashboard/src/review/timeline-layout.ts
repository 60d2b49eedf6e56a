/** Where each lane of a planting's season lies. */
import type { ReviewPlanting } from '../../../shared/api/review.js'
import type { Lane } from './lanes.js'

/** Edges of the lanes from above, px. */
export const STAGES = { top: 0, bottom: 34 }
export const SUN = { top: 44, bottom: 112 }
export const WARMTH = { top: 126, bottom: 214 }
export const SUM = { top: 228, bottom: 272 }
export const DOSES = { top: 286, bottom: 326 }
export const WARNED = { top: 336, bottom: 354 }
export const JOURNAL = { top: 360, bottom: 396 }
export const YIELD = { top: 402, bottom: 438 }
export const AXIS = 462

/** Words over the lanes are cut short below this. */
export const NARROW_PX = 460
/** A letter's width, about. */
export const CHAR_PX = 7

export interface LaneProps {
  readonly one: ReviewPlanting
  readonly width: number
}

export const laneOf = (
  { one, width }: LaneProps,
  edges: { readonly top: number; readonly bottom: number },
  low: number,
  high: number,
): Lane => ({ days: one.days.date.length, width, ...edges, low, high })
