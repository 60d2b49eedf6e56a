/** Room for plants: how many a bed or container holds, drawn to scale, with what becomes of the heads. */
import { useEffect, useState } from 'preact/hooks'
import type { Space, SpaceLayout } from '../../../shared/api/space.js'
import { ApiFailure, get } from '../api/client.js'
import { bareSpacing, type LengthUnit, lengthIn, lengthsInText, spacingText } from '../format/lengths.js'
import type { Form } from '../garden/use-form.js'
import { Failure } from '../parts/failure.js'
import { Switch } from '../parts/switch.js'
import { beds, crops, inGarden } from '../state/garden.js'
import { lengthUnit } from '../state/preferences.js'
import { useAnswer } from '../state/use-answer.js'
import { spaceAddressIn, spacePath } from './space-address.js'
import { PATTERN_WORDS, SpaceForm } from './space-form.js'
import { fieldsIn, firstFields, questionOf, type SpaceFields } from './space-question.js'
import { SpaceResult } from './space-result.js'

/** Typing pauses so long before the hub is asked, ms. */
const PAUSE_MS = 150
const NO_PROBLEMS: ReadonlyMap<string, string> = new Map()

type Edge = SpaceLayout['edge']

/** What the hub says is wrong with a field. */
function hubProblems(failure: unknown, unit: LengthUnit): ReadonlyMap<string, string> {
  if (!(failure instanceof ApiFailure)) return NO_PROBLEMS
  const told = failure.problem?.problems ?? []
  return new Map(told.map(({ field, message }) => [field, lengthsInText(message, unit)]))
}

function Room() {
  const known = beds.state.value.value ?? []
  const grown = crops.state.value.value ?? []
  const unit = lengthUnit.value
  const [typed, setTyped] = useState<{ unit: LengthUnit; fields: SpaceFields }>(() => ({
    unit,
    fields: firstFields(spaceAddressIn(location.search), known, grown, unit),
  }))
  const [pattern, setPattern] = useState<SpaceLayout['pattern'] | null>(null)
  const [edge, setEdge] = useState<Edge>('own-square')

  const fields = typed.unit === unit ? typed.fields : fieldsIn(typed.fields, typed.unit, unit)
  const set = (change: Partial<SpaceFields>): void => setTyped({ unit, fields: { ...fields, ...change } })
  const bed = known.find((one) => one.id === fields.bed) ?? null
  const crop = grown.find((one) => one.id === fields.crop)
  const { question, problems } = questionOf(fields, bed, crop?.spacingM ?? null, unit)
  const answer = useAnswer<Space>(
    question?.query ?? null,
    (query, signal) => get(inGarden(`/space?${query}`), signal),
    { pauseMs: PAUSE_MS, beginsAtOnce: true, keepsLast: true },
  )
  const { value: space, failure } = answer.state.value
  const told = problems ?? hubProblems(failure, unit)

  const path = question === null ? null : spacePath(question.address)
  useEffect(() => {
    if (path !== null) history.replaceState(null, '', path)
  }, [path])

  const form: Form = {
    values: { ...fields },
    trouble: null,
    isSaving: false,
    isSaved: false,
    problemOf: (field) => told.get(field) ?? null,
    set(field, value) {
      const usual = field === 'crop' ? grown.find((one) => one.id === value)?.spacingM : undefined
      const next = usual === undefined ? {} : { spacingM: spacingText(usual, unit) }
      set({ [field]: value, ...next })
    },
    submit: () => Promise.resolve(),
    reset: () => setTyped({ unit, fields: firstFields({}, known, grown, unit) }),
  }
  const layouts = space?.layouts.filter((one) => one.edge === edge) ?? []
  const layout = layouts.find((one) => one.pattern === pattern) ?? layouts[0]
  return (
    <>
      <SpaceForm
        form={form}
        beds={known}
        crops={grown}
        bed={bed}
        unit={unit}
        spacingM={lengthIn(fields.spacingM, bareSpacing(unit))}
      />
      <div class="space-order">
        <Switch<SpaceLayout['pattern']>
          legend="In"
          options={(layouts.length === 0
            ? (['square', 'offset'] as const)
            : layouts.map((one) => one.pattern)
          ).map((value) => ({ value, label: PATTERN_WORDS[value] }))}
          chosen={layout?.pattern ?? 'square'}
          onChoose={setPattern}
        />
        <Switch<Edge>
          legend="Edge"
          options={[
            { value: 'own-square', label: 'each in its own square' },
            { value: 'to-the-edge', label: 'up to a hand from the edge' },
          ]}
          chosen={edge}
          onChoose={setEdge}
        />
      </div>
      {failure !== null && told.size === 0 && (
        <Failure failure={failure} onRetry={() => void answer.reload()} />
      )}
      <p class="print-only">
        <b>{crop?.name}</b>
        {bed === null ? '' : `, in ${bed.name}`}
      </p>
      <div class="space-answer">
        {space !== null && layout !== undefined ? (
          <SpaceResult
            space={space}
            layout={layout}
            forms={crop?.forms ?? 'leaves'}
            unit={unit}
            onSpacing={(text) => set({ spacingM: text })}
          />
        ) : (
          told.size === 0 && failure === null && <p class="part-waiting">Laying it out …</p>
        )}
      </div>
    </>
  )
}

/** The rules behind the counts, for whoever wants to check them. */
function HowCounted() {
  return (
    <details>
      <summary>How this is counted</summary>
      <p>
        In its own square each plant keeps half the spacing from every edge, as tables of plants by the acre
        count. Up to a hand from the edge, leaves hang over the boards: more plants, if the paths allow and
        the soil feeds them. Shifted rows are drawn together so far that every plant keeps its distance from
        all others. Rings follow the rim of a round container.
      </p>
      <p>
        A head grows with the ground its plant has, up to what its kind can: a covered bed yields about the
        same weight however many share it. Soil, water and sun decide within the range, and outside it.
      </p>
      <p>
        What stands in the bed already takes the part of it that its plants are of what the bed would hold of
        them alone, until it is finished or past its usual days.
      </p>
    </details>
  )
}

export function SpacePage() {
  useEffect(() => {
    if (crops.state.peek().value === null) void crops.reload()
  }, [])
  const { value, failure } = crops.state.value
  const isBare = (beds.state.value.value ?? []).length === 0
  return (
    <section class="space-page">
      <h2>Room for plants</h2>
      <p>
        How many a bed or a container holds, and where each stands.
        {isBare && (
          <>
            {' '}
            No bed is in the almanac yet: try any size here, and <a href="/garden">add your bed</a> when it
            stands.
          </>
        )}
      </p>
      {failure !== null && <Failure failure={failure} onRetry={() => void crops.reload()} />}
      {value !== null ? <Room /> : failure === null && <p class="part-waiting">Fetching the crops …</p>}
      {value !== null && <HowCounted />}
    </section>
  )
}
