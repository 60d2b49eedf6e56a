/** Fields that only the journal has: three big choices for firmness, the note, and what the entry is about. */
import { useId } from 'preact/hooks'
import { described, FieldFrame } from '../garden/fields.js'
import type { Form } from '../garden/use-form.js'
import { FIRMNESS } from './kind-fields.js'
import { PlaceOptions } from './place-choice.js'

interface FieldProps {
  readonly form: Form
}

export function FirmnessField({ form, label }: FieldProps & { readonly label: string }) {
  const id = useId()
  const problem = form.problemOf('firmness')
  return (
    <fieldset class="field felt" aria-describedby={described(id, undefined, problem)}>
      <legend>{label}</legend>
      {FIRMNESS.map((firmness) => (
        <label key={firmness}>
          <input
            type="radio"
            name={id}
            value={firmness}
            checked={form.values.firmness === firmness}
            aria-invalid={problem !== null}
            onChange={() => form.set('firmness', firmness)}
          />
          <span>{firmness}</span>
        </label>
      ))}
      {problem !== null && (
        <p class="problem" id={`${id}-problem`}>
          {problem}
        </p>
      )}
    </fieldset>
  )
}

export function NoteField({ form, isRequired }: FieldProps & { readonly isRequired: boolean }) {
  const id = useId()
  const problem = form.problemOf('note')
  return (
    <FieldFrame form={form} name="note" label="Note" isRequired={isRequired} id={id}>
      <textarea
        id={id}
        name="note"
        rows={3}
        value={form.values.note ?? ''}
        required={isRequired}
        aria-invalid={problem !== null}
        aria-describedby={described(id, undefined, problem)}
        onInput={(event) => form.set('note', event.currentTarget.value)}
      />
    </FieldFrame>
  )
}

export function PlaceField({ form, today }: FieldProps & { readonly today: string }) {
  const id = useId()
  const problem = form.problemOf('planting')
  return (
    <FieldFrame form={form} name="planting" label="Of what" isRequired id={id}>
      <select
        id={id}
        name="planting"
        value={form.values.planting ?? ''}
        aria-invalid={problem !== null}
        aria-describedby={described(id, undefined, problem)}
        onChange={(event) => form.set('planting', event.currentTarget.value)}
      >
        <PlaceOptions today={today} />
      </select>
    </FieldFrame>
  )
}
