/** A town by the beginning of its name, from the list that the hub carries with it. */
import { useState } from 'preact/hooks'
import type { Place, Places } from '../../../shared/api/places.js'
import { get } from '../api/client.js'
import { TextField } from '../garden/fields.js'
import { type Form, textIn } from '../garden/use-form.js'
import { Failure } from '../parts/failure.js'
import { useAnswer } from '../state/use-answer.js'

/** Typing pauses so long before the hub is asked, ms. */
const PAUSE_MS = 200
const FEWEST_LETTERS = 2
const MOST_LETTERS = 60

/** 'Lund, Skåne, Sweden' */
export const placeWords = ({ name, province, country }: Place): string =>
  [name, province === name ? null : province, country].filter((part) => part !== null).join(', ')

interface PlaceSearchProps {
  readonly form: Form
  onChosen(place: Place): void
}

export function PlaceSearch({ form, onChosen }: PlaceSearchProps) {
  const asked = textIn(form.values, 'town').slice(0, MOST_LETTERS)
  // a list that came by itself after a reload would push about what stands below
  const [isEntered, setEntered] = useState(false)
  const isAsked = isEntered && asked.length >= FEWEST_LETTERS && asked !== form.values.chosenTown
  const found = useAnswer<Places>(
    isAsked ? asked : null,
    (q, signal) => get(`/places?${new URLSearchParams({ q })}`, signal),
    { pauseMs: PAUSE_MS },
  )
  const { value, failure } = found.state.value
  const places = value?.places ?? []
  return (
    <div class="place-search" onFocusIn={() => setEntered(true)}>
      <TextField
        form={form}
        name="town"
        label="A town near it"
        hint="From a list of 7,300 towns inside the hub; nobody outside is asked. Or leave it, and write where it is below."
      />
      {failure !== null && <Failure failure={failure} onRetry={() => void found.reload()} />}
      <p role="status" class={places.length > 0 ? 'unseen' : 'hint'}>
        {isAsked && value !== null && failure === null
          ? places.length === 0
            ? 'The list has no town whose name begins so. Try a larger one nearby, or write the coordinates.'
            : `${places.length} found`
          : ''}
      </p>
      {isAsked && places.length > 0 && (
        <ul class="places" aria-label="Towns found">
          {places.map((place) => (
            <li key={`${place.latitudeDeg},${place.longitudeDeg}`}>
              <button type="button" class="plain" onClick={() => onChosen(place)}>
                {placeWords(place)}
              </button>{' '}
              <span class="aside">{place.timeZone}</span>
            </li>
          ))}
        </ul>
      )}
    </div>
  )
}
