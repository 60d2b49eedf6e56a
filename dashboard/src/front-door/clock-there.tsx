/** Beneath the coordinates: what lies near them, and whose clock is kept there; the reader's own choice of zone stays. */
import { useEffect } from 'preact/hooks'
import type { Place, Places } from '../../../shared/api/places.js'
import { get } from '../api/client.js'
import { clockTime } from '../format/local-clock.js'
import { type Form, textIn } from '../garden/use-form.js'
import { clockStyle } from '../state/preferences.js'
import { nowMs } from '../state/present.js'
import { useAnswer } from '../state/use-answer.js'
import { angleIn } from './coordinates.js'
import { placeWords } from './place-search.js'

/** Typing pauses so long before the hub is asked, ms. */
const PAUSE_MS = 300
/** A town farther off than this says nothing about the place, km. */
const NEAR_KM = 60

/** What the hub is asked; null while the coordinates cannot be read. */
function queryOf(form: Form): string | null {
  const latitude = angleIn(textIn(form.values, 'latitudeDeg'), 'latitude')
  const longitude = angleIn(textIn(form.values, 'longitudeDeg'), 'longitude')
  if ('problem' in latitude || 'problem' in longitude) return null
  return `${latitude.deg.toFixed(4)},${longitude.deg.toFixed(4)}`
}

/** '14:10', or nothing where the zone is not one. */
function clockIn(zone: string): string | null {
  try {
    return clockTime(nowMs.value, zone, clockStyle.value)
  } catch {
    // half-typed: the hub says so when the form is sent
    return null
  }
}

function nearWords(town: Place): string {
  const km = Math.round(town.distanceKm ?? 0)
  return km <= NEAR_KM
    ? `That is ${km} km from ${placeWords(town)}.`
    : `The nearest town of the list is ${placeWords(town)}, ${km} km away: are the two the right way round?`
}

export function ClockThere({ form }: { readonly form: Form }) {
  const near = queryOf(form)
  const found = useAnswer<Places>(
    near,
    (asked, signal) => get(`/places?${new URLSearchParams({ near: asked })}`, signal),
    { pauseMs: PAUSE_MS },
  )
  const { value } = found.state.value
  const zoneThere = near === null ? null : (value?.timeZone ?? null)
  const isOwnChoice = form.values.zoneBy === 'hand'
  useEffect(() => {
    if (zoneThere !== null && !isOwnChoice && form.values.timeZone !== zoneThere)
      form.set('timeZone', zoneThere)
  }, [zoneThere])

  const town = value?.places[0]
  const zone = textIn(form.values, 'timeZone')
  const clock = clockIn(zone)
  return (
    <p class="clock-there" role="status">
      {near !== null && town !== undefined && `${nearWords(town)} `}
      {clock !== null && zone !== '' && `By the clock of ${zone} it is ${clock} now. `}
      {zoneThere !== null && zoneThere !== zone && (
        <>
          The map has the clock of {zoneThere} there.{' '}
          <button
            type="button"
            class="plain"
            onClick={() => {
              form.set('timeZone', zoneThere)
              form.set('zoneBy', '')
            }}
          >
            Take that one
          </button>
        </>
      )}
    </p>
  )
}
