/** Crops of the grower's own: a kind the library does not have, made from the one that is most like it. */
import type { GardenCrop } from '../../../shared/api/crops.js'
import { call } from '../api/client.js'
import type { LengthUnit } from '../format/lengths.js'
import { mayChange } from '../state/access.js'
import { crops, inGarden } from '../state/garden.js'
import { lengthUnit } from '../state/preferences.js'
import { AdjustableFields, adjustedIn, adjustedValues } from './adjustable-fields.js'
import { ChoiceField, FormFrame, TextField } from './fields.js'
import { FoldedItem } from './folded-item.js'
import { adjustmentField, ownCropInput, packetDaysOf } from './own-crop.js'
import { RemoveButton } from './remove-button.js'
import { slugOf } from './slug.js'
import { FieldProblem, optionalNumberIn, textIn, type Values } from './use-form.js'
import { useLengthForm } from './use-length-form.js'

const cropPath = (id: string): string => inGarden(`/crops/${encodeURIComponent(id)}`)

function initialValues(own: GardenCrop | null, base: GardenCrop): Values {
  const numbers = adjustedValues(own?.adjustable ?? [], lengthUnit.value)
  return { ...numbers, name: own?.name ?? '', basedOn: base.id, packetDays: '' }
}

/** @throws FieldProblem where a number is none, or the name is missing */
function inputOf(values: Values, base: GardenCrop, unit: LengthUnit) {
  const name = textIn(values, 'name')
  if (name === '') throw new FieldProblem('name', 'give it a name')
  const packetDays = optionalNumberIn(values, 'packetDays')
  if (packetDays !== null && !(packetDays >= 10 && packetDays <= 400))
    throw new FieldProblem('packetDays', 'between 10 and 400 days')
  const typed = new Map(base.adjustable.map((figure) => [figure.field, adjustedIn(values, figure, unit)]))
  return ownCropInput(base, name, packetDays, typed)
}

interface CropFormProps {
  /** null: a new one */
  readonly own: GardenCrop | null
  readonly library: readonly GardenCrop[]
  readonly taken: readonly string[]
}

function CropForm({ own, library, taken }: CropFormProps) {
  const first = library.find(({ id }) => id === own?.basedOn) ?? library[0]
  const key = `own-crop.${own?.id ?? 'new'}`
  const { form, unit } = useLengthForm(key, first === undefined ? {} : initialValues(own, first))
  const base = library.find(({ id }) => id === form.values.basedOn) ?? first
  if (base === undefined) return null
  const usualDays = packetDaysOf(base)
  return (
    <FormFrame
      form={form}
      label={own === null ? 'A new crop' : `Your crop ${own.name}`}
      submitLabel={own === null ? 'Add the crop' : 'Save the crop'}
      aside={
        own !== null && (
          <RemoveButton
            what={`the crop ${own.name}`}
            onRemove={async () => {
              await call('DELETE', cropPath(own.id))
              form.reset()
              await crops.reload()
            }}
          />
        )
      }
      onSubmit={() =>
        void form.submit(async (values) => {
          const input = inputOf(values, base, unit)
          await call('PUT', cropPath(own?.id ?? slugOf(input.name ?? '', taken, 'crop')), input)
          await crops.reload()
        })
      }
    >
      <div class="pair">
        <TextField form={form} name="name" label="Name" isRequired />
        <ChoiceField
          form={form}
          name="basedOn"
          label="Most like"
          isRequired
          options={library.map(({ id, name }) => ({ value: id, label: name }))}
        />
        <TextField
          form={form}
          name="packetDays"
          label={`Days until ready, from ${base.usualStart === 'sown' ? 'sowing' : 'planting out'}`}
          {...(usualDays === null ? {} : { hint: `as on the packet; ${base.name} has ${usualDays}` })}
          isNumber
          size={6}
        />
      </div>
      {/* a problem must not hide in a fold */}
      <details open={base.adjustable.some(({ field }) => form.problemOf(adjustmentField(field)) !== null)}>
        <summary>More of its numbers</summary>
        <p>What is left empty is as in {base.name}. Degree days typed here go before the packet’s days.</p>
        <AdjustableFields
          form={form}
          figures={base.adjustable}
          unit={unit}
          hintOf={(_, library) => `${base.name} has ${library}`}
        />
      </details>
    </FormFrame>
  )
}

export function CropsSection() {
  const known = crops.state.value.value ?? []
  const own = known.filter(({ by }) => by === 'own')
  const library = known.filter(({ by }) => by !== 'own')
  const taken = known.map(({ id }) => id)
  if (known.length === 0) return null
  return (
    <section aria-labelledby="crops-heading">
      <h3 id="crops-heading">Crops of your own</h3>
      <p>
        A kind that the library does not have is made here from the one most like it. Its numbers can be
        changed later, here or on the page of a planting.
      </p>
      {own.map((crop) => (
        <FoldedItem
          key={crop.id}
          summary={
            <>
              <b>{crop.name}</b>, made from{' '}
              {library.find(({ id }) => id === crop.basedOn)?.name ?? crop.basedOn}
            </>
          }
        >
          <CropForm own={crop} library={library} taken={taken} />
        </FoldedItem>
      ))}
      {mayChange.value && (
        <FoldedItem summary="Add a crop">
          <CropForm key={own.length} own={null} library={library} taken={taken} />
        </FoldedItem>
      )}
    </section>
  )
}
