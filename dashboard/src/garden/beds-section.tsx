/** Beds: where plants grow. */
import type { Bed } from '../../../shared/api/garden.js'
import { call } from '../api/client.js'
import { metres } from '../format/units.js'
import { bedPath } from '../routes.js'
import { mayChange } from '../state/access.js'
import { beds, inGarden, today } from '../state/garden.js'
import { ChoiceField, FormFrame, TextField } from './fields.js'
import { RemoveButton } from './remove-button.js'
import { slugOf } from './slug.js'
import { numberIn, optionalNumberIn, textIn, useForm } from './use-form.js'

const KINDS = [
  { value: 'raised', label: 'raised bed' },
  { value: 'container', label: 'container' },
  { value: 'ground', label: 'open ground' },
] as const

const kindWord = (kind: string): string => KINDS.find((k) => k.value === kind)?.label ?? kind

function BedForm({ bed }: { readonly bed: Bed | null }) {
  const form = useForm(`bed.${bed?.id ?? 'new'}`, {
    name: bed?.name ?? '',
    kind: bed?.kind ?? 'raised',
    lengthM: bed === null ? '' : metres(bed.lengthM),
    widthM: bed === null ? '' : metres(bed.widthM),
    depthM: bed === null || bed.depthM === null ? '' : metres(bed.depthM),
  })

  const send = async (values: Readonly<Record<string, string>>): Promise<void> => {
    const taken = (beds.state.value.value ?? []).map((b) => b.id)
    const id = bed?.id ?? slugOf(textIn(values, 'name'), taken, 'bed')
    await call('PUT', inGarden(`/beds/${id}`), {
      name: textIn(values, 'name'),
      kind: textIn(values, 'kind'),
      lengthM: numberIn(values, 'lengthM'),
      widthM: numberIn(values, 'widthM'),
      depthM: optionalNumberIn(values, 'depthM'),
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
      submitLabel={bed === null ? 'Add the bed' : 'Save the bed'}
      aside={bed !== null && <RemoveButton what={`the bed ${bed.name}`} onRemove={() => remove(bed.id)} />}
      onSubmit={() => void form.submit(send)}
    >
      <TextField form={form} name="name" label="Name of the bed" isRequired />
      <ChoiceField form={form} name="kind" label="Kind" options={KINDS} isRequired />
      <div class="pair">
        <TextField form={form} name="lengthM" label="Length, m" isNumber size={8} isRequired />
        <TextField form={form} name="widthM" label="Width, m" isNumber size={8} isRequired />
        <TextField form={form} name="depthM" label="Depth of soil, m" isNumber size={8} />
      </div>
    </FormFrame>
  )
}

export function BedsSection() {
  const known = beds.state.value.value ?? []
  return (
    <section aria-labelledby="beds-heading">
      <h3 id="beds-heading">Beds</h3>
      {known.map((bed) => (
        <details key={bed.id} class="item">
          <summary>
            <b>{bed.name}</b>, {kindWord(bed.kind)}, {metres(bed.lengthM)} × {metres(bed.widthM)} m
          </summary>
          <p class="beside">
            <a href={bedPath(bed.id)}>Its charts and days</a>
          </p>
          <BedForm bed={bed} />
        </details>
      ))}
      {mayChange.value && (
        <details class="item" open={known.length === 0}>
          <summary>Add a bed</summary>
          <BedForm key={known.length} bed={null} />
        </details>
      )}
    </section>
  )
}
