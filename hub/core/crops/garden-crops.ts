/** The crops of one garden: the library's, with the grower's own numbers and the grower's own crops taken in. */
import { ADJUSTABLE, type Adjustable, type Adjustments, adjustedCrop } from './adjusted-crop.js'
import type { Crop } from './crop.js'
import { CROPS, findCrop } from './library.js'

/** What a grower says of a crop: of one in the library (id = basedOn), or of a new one made from it. */
export interface OwnCrop {
  readonly id: string
  /** a crop of the library */
  readonly basedOn: string
  /** null: that of the crop it is based on */
  readonly name: string | null
  readonly adjustments: Adjustments
}

export interface KnownCrop {
  readonly crop: Crop
  /** the library's crop that it is, or was made from */
  readonly library: Crop
  /** adjusted: some numbers are the grower's; own: added by the grower */
  readonly by: 'library' | 'adjusted' | 'own'
  readonly adjustments: Adjustments
}

/** All crops by id: the library's first, then the grower's own by name. Those based on a crop that has gone are left out. */
export function gardenCrops(owned: readonly OwnCrop[]): ReadonlyMap<string, KnownCrop> {
  const known = new Map<string, KnownCrop>(
    [...CROPS.values()].map((crop) => [crop.id, { crop, library: crop, by: 'library', adjustments: {} }]),
  )
  const byName = [...owned].sort((a, b) => (a.name ?? a.id).localeCompare(b.name ?? b.id))
  for (const own of byName) {
    const one = knownCrop(own)
    if (one) known.set(own.id, one)
  }
  return known
}

/** The crop of this id in a garden; undefined: neither the library nor the grower knows it. */
export function findGardenCrop(id: string, owned: readonly OwnCrop[]): KnownCrop | undefined {
  const own = owned.find((one) => one.id === id)
  if (own) return knownCrop(own)
  const crop = findCrop(id)
  return crop && { crop, library: crop, by: 'library', adjustments: {} }
}

function knownCrop({ id, basedOn, name, adjustments }: OwnCrop): KnownCrop | undefined {
  const library = findCrop(basedOn)
  if (!library) return undefined
  const crop = { ...adjustedCrop(library, adjustments), id, name: name ?? library.name }
  if (id !== basedOn) return { crop, library, by: 'own', adjustments }
  const isAsIs = Object.keys(adjustments).length === 0 && crop.name === library.name
  return { crop, library, by: isAsIs ? 'library' : 'adjusted', adjustments }
}

/** The library's number in a field; null: the crop has no such number. */
export function libraryNumber({ library }: KnownCrop, field: Adjustable): number | null {
  const { degreeDays, heat, coldBolting, heatBolting, frost, spacing } = library
  const numbers: Record<Adjustable, number | undefined> = {
    baseC: library.baseC.value,
    upperC: library.upperC.value,
    degreeDaysToHeading: degreeDays.toHeading?.value,
    degreeDaysToReady: degreeDays.toReady.value,
    degreeDaysToFinished: degreeDays.toFinished.value,
    heatAboveC: heat?.aboveC.value,
    heatWatchHours: heat?.watchHours.value,
    heatLikelyHours: heat?.likelyHours.value,
    chillWatchDays: coldBolting?.watchDays.value,
    chillLikelyDays: coldBolting?.likelyDays.value,
    warmWatchDays: heatBolting?.watchDays.value,
    warmLikelyDays: heatBolting?.likelyDays.value,
    frostDamageC: frost.damageC.value,
    betweenPlantsM: spacing.betweenPlantsM.value,
  }
  return numbers[field] ?? null
}

export const isAdjustable = (field: string): field is Adjustable => Object.hasOwn(ADJUSTABLE, field)
