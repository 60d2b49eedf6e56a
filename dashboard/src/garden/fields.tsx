/** Form fields: a label, what to put in, and what is wrong with it, each tied to the field for a screen reader. */
import type { ComponentChildren } from 'preact'
import { useEffect, useId, useRef } from 'preact/hooks'
import type { LengthUnit } from '../format/lengths.js'
import { mayChange } from '../state/access.js'
import type { Form } from './use-form.js'

interface FieldProps {
  readonly form: Form
  readonly name: string
  readonly label: string
  readonly hint?: string
  readonly isRequired?: boolean
}

interface TextFieldProps extends FieldProps {
  readonly type?: 'text' | 'date' | 'datetime-local'
  /** what the browser may fill in; nothing by default */
  readonly autocomplete?: 'one-time-code'
  /** numbers get the number keys of a phone, yet may be typed with a comma */
  readonly isNumber?: boolean
  readonly size?: number
  readonly suggestions?: readonly string[]
}

/** Label, hint and problem about whatever is put in. */
export function FieldFrame(
  props: FieldProps & { readonly id: string; readonly children: ComponentChildren },
) {
  const { form, name, label, hint, id, isRequired, children } = props
  const problem = form.problemOf(name)
  return (
    <div class="field">
      <label for={id}>
        {label}
        {isRequired !== true && <span class="optional"> (optional)</span>}
      </label>
      {children}
      {hint !== undefined && (
        <p class="hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      {problem !== null && (
        <p class="problem" id={`${id}-problem`}>
          {problem}
        </p>
      )}
    </div>
  )
}

/** What a field is described by, for aria-describedby. */
export function described(id: string, hint: string | undefined, problem: string | null): string | undefined {
  const ids = [hint === undefined ? '' : `${id}-hint`, problem === null ? '' : `${id}-problem`].filter(
    (part) => part !== '',
  )
  return ids.length === 0 ? undefined : ids.join(' ')
}

export function TextField(props: TextFieldProps) {
  const { form, name, hint, type = 'text', isNumber = false, size, suggestions } = props
  const id = useId()
  const problem = form.problemOf(name)
  return (
    <FieldFrame {...props} id={id}>
      <input
        id={id}
        name={name}
        type={type}
        value={form.values[name] ?? ''}
        required={props.isRequired === true}
        aria-invalid={problem !== null}
        aria-describedby={described(id, hint, problem)}
        autocomplete={props.autocomplete ?? 'off'}
        onInput={(event) => form.set(name, event.currentTarget.value)}
        {...(size === undefined ? {} : { size })}
        {...(isNumber ? { inputMode: 'decimal' as const } : {})}
        {...(suggestions === undefined ? {} : { list: `${id}-list` })}
      />
      {suggestions !== undefined && (
        <datalist id={`${id}-list`}>
          {suggestions.map((s) => (
            <option key={s} value={s} />
          ))}
        </datalist>
      )}
    </FieldFrame>
  )
}

/** A length in the reader's unit; in feet it may be written with inches. */
export function LengthField({ label, unit, ...field }: FieldProps & { readonly unit: LengthUnit }) {
  return <TextField {...field} label={`${label}, ${unit}`} isNumber={unit === 'm'} size={8} />
}

interface PassphraseFieldProps extends FieldProps {
  /** so that a browser offers the one it keeps, or keeps the new one */
  readonly autocomplete: 'current-password' | 'new-password'
}

export function PassphraseField(props: PassphraseFieldProps) {
  const { form, name, hint, autocomplete } = props
  const id = useId()
  const problem = form.problemOf(name)
  return (
    <FieldFrame {...props} id={id}>
      <input
        id={id}
        name={name}
        type="password"
        value={form.values[name] ?? ''}
        required={props.isRequired === true}
        aria-invalid={problem !== null}
        aria-describedby={described(id, hint, problem)}
        autocomplete={autocomplete}
        onInput={(event) => form.set(name, event.currentTarget.value)}
      />
    </FieldFrame>
  )
}

interface ChoiceProps extends FieldProps {
  readonly options: readonly { readonly value: string; readonly label: string }[]
  onChosen?(value: string): void
}

export function ChoiceField(props: ChoiceProps) {
  const { form, name, hint, options, onChosen } = props
  const id = useId()
  const problem = form.problemOf(name)
  return (
    <FieldFrame {...props} id={id}>
      <select
        id={id}
        name={name}
        value={form.values[name] ?? ''}
        required={props.isRequired === true}
        aria-invalid={problem !== null}
        aria-describedby={described(id, hint, problem)}
        onChange={(event) => {
          form.set(name, event.currentTarget.value)
          onChosen?.(event.currentTarget.value)
        }}
      >
        {options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.label}
          </option>
        ))}
      </select>
    </FieldFrame>
  )
}

interface FormFrameProps {
  readonly form: Form
  readonly submitLabel: string
  /** names the form for a screen reader */
  readonly label: string
  readonly children: ComponentChildren
  readonly aside?: ComponentChildren
  /** not shown to whoever may only look; the doors themselves are for everyone */
  readonly isOwnersOnly?: boolean
  onSubmit(): void
}

/** The form itself: after a refusal the first field at fault takes the focus. */
export function FormFrame(props: FormFrameProps) {
  const { form, submitLabel, label, children, aside, isOwnersOnly = true, onSubmit } = props
  const element = useRef<HTMLFormElement>(null)
  const wasSaving = useRef(false)

  useEffect(() => {
    if (wasSaving.current && !form.isSaving)
      element.current?.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus()
    wasSaving.current = form.isSaving
  }, [form.isSaving])

  if (!mayChange.value && isOwnersOnly) return null
  return (
    <form
      ref={element}
      class="entry"
      aria-label={label}
      noValidate
      onSubmit={(event) => {
        event.preventDefault()
        onSubmit()
      }}
    >
      {children}
      <div class="form-foot">
        <button type="submit" disabled={form.isSaving}>
          {form.isSaving ? 'Saving …' : submitLabel}
        </button>
        {aside}
        <span role="status">{form.isSaved ? 'Saved.' : ''}</span>
      </div>
      {form.trouble !== null && (
        <p class="problem" role="alert">
          {form.trouble} What you typed is still here.
        </p>
      )}
    </form>
  )
}
