/** The form of a bed: its name, what kind of ground it is, and its size in the reader's own units. */
import type { Bed } from '../../../shared/api/garden.js'
import { call } from '../api/client.js'
import { bedLengthText, type LengthUnit, lengthIn } from '../format/lengths.js'
import { beds, inGarden, today } from '../state/garden.js'
import { lengthUnit } from '../state/preferences.js'
import { ChoiceField, FormFrame, LengthField, TextField } from './fields.js'
import { RemoveButton } from './remove-button.js'
import { slugOf } from './slug.js'
import { FieldProblem, textIn, type Values } from './use-form.js'
import { useLengthForm } from './use-length-form.js'

const KINDS = [
  { value: 'raised', label: 'raised bed' },
  { value: 'container', label: 'container' },
  { value: 'ground', label: 'open ground' },
] as const

export const kindWord = (kind: string): string => KINDS.find((k) => k.value === kind)?.label ?? kind

/** A length as typed, m; one that was not touched is sent as it was stored. Empty is null. */
function metresIn(values: Values, field: string, unit: LengthUnit, storedM: number | null): number | null {
  const text = textIn(values, field)
  if (text === '') return null
  if (storedM !== null && text === bedLengthText(storedM, unit)) return storedM
  const lengthM = lengthIn(text, unit)
  if (lengthM !== null) return Math.round(lengthM * 1e6) / 1e6
  throw new FieldProblem(field, `write a length, e.g. ${unit === 'm' ? '1.2' : '4'}`)
}

function requiredMetresIn(values: Values, field: string, unit: LengthUnit, storedM: number | null): number {
  const lengthM = metresIn(values, field, unit, storedM)
  if (lengthM === null)
    throw new FieldProblem(field, field === 'widthM' ? 'how wide is it?' : 'how long is it?')
  return lengthM
}

interface BedFormProps {
  readonly bed: Bed | null
  readonly submitLabel?: string
  /** where the form is one of a row of steps */
  onSaved?(): void
}

export function BedForm({ bed, submitLabel, onSaved }: BedFormProps) {
  const text = (lengthM: number | null | undefined): string =>
    lengthM === null || lengthM === undefined ? '' : bedLengthText(lengthM, lengthUnit.value)
  const { form, unit } = useLengthForm(`bed.${bed?.id ?? 'new'}`, {
    name: bed?.name ?? '',
    kind: bed?.kind ?? 'raised',
    lengthM: text(bed?.lengthM),
    widthM: text(bed?.widthM),
    depthM: text(bed?.depthM),
  })

  const send = async (values: Values): Promise<void> => {
    const taken = (beds.state.value.value ?? []).map((b) => b.id)
    const id = bed?.id ?? slugOf(textIn(values, 'name'), taken, 'bed')
    await call('PUT', inGarden(`/beds/${id}`), {
      name: textIn(values, 'name'),
      kind: textIn(values, 'kind'),
      lengthM: requiredMetresIn(values, 'lengthM', unit, bed?.lengthM ?? null),
      widthM: requiredMetresIn(values, 'widthM', unit, bed?.widthM ?? null),
      depthM: metresIn(values, 'depthM', unit, bed?.depthM ?? null),
    })
    await Promise.all([beds.reload(), today.reload()])
  }

  async function remove(id: string): Promise<void> {
    await call('DELETE', inGarden(`/beds/${id}`))
    form.reset()
    await Promise.all([beds.reload(), today.reload()])
  }

  return (
    <FormFrame
      form={form}
      label={bed === null ? 'A new bed' : `Bed ${bed.name}`}
      submitLabel={submitLabel ?? (bed === null ? 'Add the bed' : 'Save the bed')}
      aside={bed !== null && <RemoveButton what={`the bed ${bed.name}`} onRemove={() => remove(bed.id)} />}
      onSubmit={() =>
        void form.submit(async (values) => {
          await send(values)
          onSaved?.()
        })
      }
    >
      <TextField form={form} name="name" label="Name of the bed" isRequired />
      <ChoiceField form={form} name="kind" label="Kind" options={KINDS} isRequired />
      <div class="pair">
        <LengthField form={form} name="lengthM" label="Length" unit={unit} isRequired />
        <LengthField form={form} name="widthM" label="Width" unit={unit} isRequired />
        <LengthField form={form} name="depthM" label="Depth of soil" unit={unit} />
      </div>
    </FormFrame>
  )
}
