/** Fields that only the journal has: three big choices for firmness, the note, and what the entry is about. */
import { useId } from 'preact/hooks'
import type { Form } from '../garden/use-form.js'
import { PlaceOptions } from './place-choice.js'

interface FieldProps {
  readonly form: Form
}

const FELT = ['soft', 'giving', 'firm'] as const

export function FirmnessField({ form, label }: FieldProps & { readonly label: string }) {
  const id = useId()
  const problem = form.problemOf('firmness')
  return (
    <fieldset class="field felt" aria-describedby={problem === null ? undefined : `${id}-problem`}>
      <legend>{label}</legend>
      {FELT.map((firmness) => (
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
    <div class="field">
      <label for={id}>Note{!isRequired && <span class="optional"> (may stay empty)</span>}</label>
      <textarea
        id={id}
        name="note"
        rows={3}
        value={form.values.note ?? ''}
        required={isRequired}
        aria-invalid={problem !== null}
        aria-describedby={problem === null ? undefined : `${id}-problem`}
        onInput={(event) => form.set('note', event.currentTarget.value)}
      />
      {problem !== null && (
        <p class="problem" id={`${id}-problem`}>
          {problem}
        </p>
      )}
    </div>
  )
}

export function PlaceField({ form, today }: FieldProps & { readonly today: string }) {
  const id = useId()
  const problem = form.problemOf('planting')
  return (
    <div class="field">
      <label for={id}>Of what</label>
      <select
        id={id}
        name="planting"
        value={form.values.planting ?? ''}
        aria-invalid={problem !== null}
        aria-describedby={problem === null ? undefined : `${id}-problem`}
        onChange={(event) => form.set('planting', event.currentTarget.value)}
      >
        <PlaceOptions today={today} />
      </select>
      {problem !== null && (
        <p class="problem" id={`${id}-problem`}>
          {problem}
        </p>
      )}
    </div>
  )
}
