/** Beneath the planting form: how many have room, told while it is filled in, and the word that tight is meant. */
import { useId } from 'preact/hooks'
import type { Space } from '../../../shared/api/space.js'
import { get } from '../api/client.js'
import { numberWord } from '../format/durations.js'
import { bareSpacing, type LengthUnit, lengthIn, showLength } from '../format/lengths.js'
import { spacePath } from '../space/space-address.js'
import { bedName, inGarden } from '../state/garden.js'
import { useAnswer } from '../state/use-answer.js'
import { type Form, textIn, type Values } from './use-form.js'

/** Typing pauses so long before the hub is asked, ms. */
const PAUSE_MS = 250

interface PlantingRoomProps {
  readonly values: Values
  readonly unit: LengthUnit
  /** the planting itself takes no room from itself */
  readonly except: string | null
  readonly isAsked: boolean
}

/** The question to the hub; null while a field that matters is empty or no length. */
function queryOf({ values, unit, except, isAsked }: PlantingRoomProps): string | null {
  const [bed, crop] = [textIn(values, 'bed'), textIn(values, 'crop')]
  const spacingM = lengthIn(textIn(values, 'spacingM'), bareSpacing(unit))
  if (!isAsked || bed === '' || crop === '' || spacingM === null || spacingM < 0.01) return null
  const query = new URLSearchParams({ bed, crop, spacingM: spacingM.toFixed(6) })
  const from = textIn(values, 'plantedOutOn') || textIn(values, 'sownOn')
  if (from !== '') query.set('from', from)
  if (except !== null) query.set('except', except)
  return query.toString()
}

/** 'Long bed holds 36 at 40 cm; beside what stands there in those weeks, 14 have room.' */
function roomSentence(space: Space, unit: LengthUnit): string {
  const at = showLength(space.spacingM, unit)
  const holds = `${bedName(space.bed ?? '')} holds ${numberWord(space.holds)} at ${at}`
  if (space.neighbours.length === 0) return `${holds}.`
  const room = space.roomBeside
  const rest = room === 0 ? 'there is no room' : `${numberWord(room)} ${room === 1 ? 'has' : 'have'} room`
  return `${holds}; beside what stands there in those weeks ${rest}.`
}

export function PlantingRoom(props: PlantingRoomProps) {
  const query = queryOf(props)
  const answer = useAnswer<Space>(query, (asked, signal) => get(inGarden(`/space?${asked}`), signal), {
    pauseMs: PAUSE_MS,
  })
  const { value: space, failure } = answer.state.value
  return (
    <p class="planting-room" role="status">
      {/* what is wrong with a field is told at that field when the form is sent */}
      {space !== null && failure === null && (
        <>
          {roomSentence(space, props.unit)}{' '}
          <a href={spacePath({ bed: space.bed, crop: space.crop, spacingM: space.spacingM })}>See it drawn</a>
        </>
      )}
    </p>
  )
}

/** Shown once the hub has asked whether it is meant. */
export function TightTick({ form }: { readonly form: Form }) {
  const id = useId()
  const problem = form.problemOf('isTightOnPurpose')
  const isTicked = form.values.isTightOnPurpose === 'true'
  if (problem === null && !isTicked) return null
  return (
    <div class="field">
      <label class="tick-label">
        <input
          type="checkbox"
          name="isTightOnPurpose"
          checked={isTicked}
          aria-describedby={problem === null ? undefined : id}
          onChange={(event) => form.set('isTightOnPurpose', event.currentTarget.checked ? 'true' : '')}
        />
        <span>Tight on purpose</span>
      </label>
      {problem !== null && (
        <p class="hint" id={id}>
          Growing something between it, or sown thick to be thinned? Tick this and send it again, to have it
          all the same.
        </p>
      )}
    </div>
  )
}
