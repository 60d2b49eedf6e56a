/** Which family a crop is of, for what may follow what. */
import type { Crop } from '../crops/crop.js'

export interface PlantFamily {
  readonly botanical: string
  readonly name: string
  /** the soil-borne trouble that following itself builds up */
  readonly trouble: string
}

const CABBAGE: PlantFamily = {
  botanical: 'Brassicaceae',
  name: 'cabbage family',
  trouble: 'clubroot and cabbage root fly',
}
const DAISY: PlantFamily = {
  botanical: 'Asteraceae',
  name: 'daisy family',
  trouble: 'lettuce drop and root aphids',
}
const AMARANTH: PlantFamily = {
  botanical: 'Amaranthaceae',
  name: 'spinach and beet family',
  trouble: 'leaf spots and nematodes',
}
const PEA: PlantFamily = { botanical: 'Fabaceae', name: 'pea family', trouble: 'foot rots and pea moth' }
const CARROT: PlantFamily = {
  botanical: 'Apiaceae',
  name: 'carrot family',
  trouble: 'carrot fly and leaf spots',
}

/** By genus, the first word of the botanical name. Troubles: common practice. */
const FAMILIES: ReadonlyMap<string, PlantFamily> = new Map([
  ['Brassica', CABBAGE],
  ['Raphanus', CABBAGE],
  ['Lactuca', DAISY],
  ['Spinacia', AMARANTH],
  ['Pisum', PEA],
  ['Apium', CARROT],
  ['Coriandrum', CARROT],
])

/** @returns null for a genus that is not known here: nothing can be said of its rotation */
export const familyOf = (crop: Pick<Crop, 'botanical'>): PlantFamily | null =>
  FAMILIES.get(crop.botanical.split(' ')[0]!) ?? null
