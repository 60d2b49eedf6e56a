/** What the next entries are about: a planting, a whole bed, or the garden. Remembered by the browser, a garden each. */
import { signal } from '@preact/signals'
import type { JournalInput } from '../../../shared/api/journal.js'
import { gardenId } from '../state/garden.js'

export type Place = Pick<JournalInput, 'planting' | 'bed'>

export const THE_GARDEN: Place = { planting: null, bed: null }

/** A place as the value of a choice: 'planting:…', 'bed:…' or 'garden'. */
export const placeKey = ({ planting, bed }: Place): string =>
  planting !== null ? `planting:${planting}` : bed !== null ? `bed:${bed}` : 'garden'

export function placeOf(key: string): Place {
  const [kind, ...rest] = key.split(':')
  const id = rest.join(':')
  if (kind === 'planting') return { planting: id, bed: null }
  return kind === 'bed' ? { planting: null, bed: id } : THE_GARDEN
}

const storageKey = (): string => `hearting.journal.place.${gardenId.peek()}`

function remembered(): string | null {
  try {
    return localStorage.getItem(storageKey())
  } catch {
    // storage may be forbidden: then it is chosen anew each time
    return null
  }
}

/** null: nothing was chosen yet */
export const chosenPlace = signal<Place | null>(null)

export function recallPlace(): void {
  const key = remembered()
  chosenPlace.value = key === null ? null : placeOf(key)
}

export function choosePlace(place: Place): void {
  chosenPlace.value = place
  try {
    localStorage.setItem(storageKey(), placeKey(place))
  } catch {
    // as above
  }
}
