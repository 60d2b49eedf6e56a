/** Whether a spacing is right for a crop, and whether the container's soil feeds so many, in plain words. */
import { isCabbage } from '../crops/cabbages.js'
import type { Crop } from '../crops/crop.js'
import { areaM2, type Ground, narrowestM, SAME_M } from './ground.js'
import { CLOSEST_CABBAGE_M } from './head-size.js'

export type Room =
  /** no plant has its own square: the spacing is wider than the ground */
  | 'wider-than-ground'
  /** heads stay small, loose or uneven, or do not form */
  | 'too-tight'
  /** works, with smaller heads */
  | 'tight'
  | 'usual'
  | 'roomy'

export interface RoomCheck {
  readonly room: Room
  readonly words: string
  /** what the verdict rests on */
  readonly note: string
}

/** Less than half the usual ground for each plant; first guess, but see the trial for cabbage. */
const TOO_TIGHT_PART = 0.5
/** Within a sixth of the usual distance nobody sees a difference. First guess. */
const TIGHT_PART = 0.7
const ROOMY_PART = 1.6

/**
 * Judges a spacing for a crop on a ground.
 *
 * @param spacingM  between plants every way, m
 */
export function checkRoom(crop: Crop, ground: Ground, spacingM: number): RoomCheck {
  const { betweenPlantsM } = crop.spacing
  const part = (spacingM / betweenPlantsM.value) ** 2
  const note = betweenPlantsM.note
  const what = crop.forms === 'leaves' ? 'plants' : `${PLURAL[crop.forms]}`
  if (spacingM > narrowestM(ground) + SAME_M) {
    return {
      room: 'wider-than-ground',
      words: 'The spacing is wider than the ground: not even one plant has its full room here.',
      note: 'each plant owns a square of the spacing',
    }
  }
  if (isCabbage(crop) && spacingM < CLOSEST_CABBAGE_M.value) {
    return {
      room: 'too-tight',
      words: 'Too tight: heads will stay under a kilogram and uneven, and some will not form.',
      note: CLOSEST_CABBAGE_M.note,
    }
  }
  if (part < TOO_TIGHT_PART - 1e-9) {
    return {
      room: 'too-tight',
      words: `Too tight: each plant has less than half its usual ground. Expect small, poor ${what} or none.`,
      note,
    }
  }
  if (part < TIGHT_PART) {
    return { room: 'tight', words: `Tight: it works, with smaller ${what} that are ready later.`, note }
  }
  if (part > ROOMY_PART) {
    return {
      room: 'roomy',
      words: `Roomy: ${what} grow as large as their kind can; closer would give more of them.`,
      note,
    }
  }
  return { room: 'usual', words: 'The usual room for this crop.', note }
}

const PLURAL: Record<Exclude<Crop['forms'], 'leaves'>, string> = {
  head: 'heads',
  curd: 'curds',
  sprouts: 'sprouts',
  stem: 'stems',
  pods: 'pods',
  root: 'roots',
  stalks: 'stalks',
}

/** Soil settles and is not filled to the brim: nine parts in ten. Common practice. */
const FILLED_PART = 0.9

/**
 * How many plants the soil of a container or raised bed feeds.
 *
 * @param depthM  of the soil, m; null: open ground below, which sets no limit
 * @returns null without a depth; less than 1: not enough for a single plant
 */
export function plantsBySoil(crop: Crop, ground: Ground, depthM: number | null): number | null {
  if (depthM === null) return null
  const litres = areaM2(ground) * depthM * FILLED_PART * 1000
  return Math.floor(litres / crop.spacing.containerLitres.value + 1e-9)
}
