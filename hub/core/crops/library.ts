/** All crops the hub knows, by id. To add one: a file for its family beside this one, and a line here. */
import { CABBAGE_KIN } from './cabbage-kin.js'
import { CABBAGES } from './cabbages.js'
import { CARROT_KIN } from './carrot-kin.js'
import type { Crop } from './crop.js'
import { LETTUCES } from './lettuces.js'
import { PEA } from './pea.js'
import { SPINACH } from './spinach.js'

export const CROPS: ReadonlyMap<string, Crop> = new Map(
  [...CABBAGES, ...CABBAGE_KIN, ...LETTUCES, SPINACH, PEA, ...CARROT_KIN].map((crop) => [crop.id, crop]),
)

/** The crop of this id, or undefined. */
export const findCrop = (id: string): Crop | undefined => CROPS.get(id)
