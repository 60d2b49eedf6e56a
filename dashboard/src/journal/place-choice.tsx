/** The choice of what an entry is about, as the options of a select. */
import type { Planting } from '../../../shared/api/garden.js'
import { plantingName } from '../planting/planting-words.js'
import { bedName, beds, cropName, crops, plantings } from '../state/garden.js'
import { placeKey } from './place.js'

export const nameOfPlanting = (planting: Planting): string =>
  plantingName(cropName(planting.crop), planting.variety)

/** 'Cabbage, early ‘Lantern’, By the gate'; the whole bed; the whole garden. */
export function placeWords(planting: string | null, bed: string | null): string {
  if (planting !== null) {
    const known = plantings.state.value.value?.find((p) => p.id === planting)
    return known === undefined ? 'a planting' : `${nameOfPlanting(known)}, ${bedName(known.bed)}`
  }
  return bed === null ? 'the garden' : `${bedName(bed)}, the whole bed`
}

/** What the planting's crop forms: 'head', 'curd', 'leaves' … */
export function formsOf(planting: string | null): string {
  const known = plantings.state.value.value?.find((p) => p.id === planting)
  return crops.state.value.value?.find((crop) => crop.id === known?.crop)?.forms ?? 'head'
}

const isFinished = (planting: Planting, today: string): boolean =>
  planting.finishedOn !== null && planting.finishedOn < today

export function PlaceOptions({ today }: { readonly today: string }) {
  const known = plantings.state.value.value ?? []
  const growing = known.filter((planting) => !isFinished(planting, today))
  const finished = known.filter((planting) => isFinished(planting, today))
  const option = (planting: Planting) => (
    <option key={planting.id} value={placeKey({ planting: planting.id, bed: null })}>
      {nameOfPlanting(planting)}, {bedName(planting.bed)}
    </option>
  )
  return (
    <>
      {growing.length > 0 && <optgroup label="Plantings">{growing.map(option)}</optgroup>}
      <optgroup label="Whole beds">
        {(beds.state.value.value ?? []).map((bed) => (
          <option key={bed.id} value={placeKey({ planting: null, bed: bed.id })}>
            {bed.name}
          </option>
        ))}
      </optgroup>
      <optgroup label="All of it">
        <option value="garden">The garden</option>
      </optgroup>
      {finished.length > 0 && <optgroup label="Finished plantings">{finished.map(option)}</optgroup>}
    </>
  )
}
