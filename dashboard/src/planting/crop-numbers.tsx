/** The numbers the crop is reckoned by, each with its source; the grower can put their own in their place. */
import type { GardenCrop } from '../../../shared/api/crops.js'
import { call } from '../api/client.js'
import { AdjustableFields, adjustedIn, adjustedValues } from '../garden/adjustable-fields.js'
import { FormFrame } from '../garden/fields.js'
import { RemoveButton } from '../garden/remove-button.js'
import type { Values } from '../garden/use-form.js'
import { useLengthForm } from '../garden/use-length-form.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { inGarden } from '../state/garden.js'
import { lengthUnit } from '../state/preferences.js'

const SOURCE_WORDS: Readonly<Record<GardenCrop['figures'][number]['source'], string>> = {
  published: 'published',
  'common practice': 'common practice',
  memory: 'from memory, not checked',
  derived: 'worked out, a first guess',
  grower: 'yours',
}

/** As the library has it, with a true minus. */
const inPrint = (value: number): string => String(value).replace('-', '\u2212')

interface CropNumbersProps {
  readonly crop: GardenCrop
  onChanged(): Promise<void>
}

function AdjustForm({ crop, onChanged }: CropNumbersProps) {
  const { form, unit } = useLengthForm(`crop.${crop.id}`, adjustedValues(crop.adjustable, lengthUnit.value))
  const path = inGarden(`/crops/${encodeURIComponent(crop.id)}`)

  async function send(values: Values): Promise<void> {
    const adjustments = Object.fromEntries(
      crop.adjustable.flatMap((figure) => {
        const value = adjustedIn(values, figure, unit)
        return value === null ? [] : [[figure.field, value]]
      }),
    )
    const isOwn = crop.by === 'own'
    await call('PUT', path, {
      basedOn: isOwn ? crop.basedOn : null,
      name: isOwn ? crop.name : null,
      adjustments,
    })
    await onChanged()
  }

  return (
    <FormFrame
      form={form}
      label={`Numbers of ${crop.name}`}
      submitLabel="Save the numbers"
      aside={
        crop.by === 'adjusted' && (
          <RemoveButton
            what={`your own numbers of ${crop.name}`}
            onRemove={async () => {
              await call('DELETE', path)
              form.reset()
              await onChanged()
            }}
          />
        )
      }
      onSubmit={() => void form.submit(send)}
    >
      <AdjustableFields
        form={form}
        figures={crop.adjustable}
        unit={unit}
        hintOf={({ ownValue }, library) => `${ownValue === null ? '' : 'yours; '}the library has ${library}`}
      />
    </FormFrame>
  )
}

const BY_WORDS: Readonly<Record<GardenCrop['by'], string>> = {
  library: 'All are the library’s.',
  adjusted: 'Some are your own.',
  own: 'This crop is your own.',
}

export function CropNumbers({ crop, onChanged }: CropNumbersProps) {
  return (
    <section class="planting-part" aria-label={`Numbers of ${crop.name}`}>
      <h3>The numbers behind it</h3>
      <p>
        {crop.name} is reckoned by these numbers wherever it grows in this garden. {BY_WORDS[crop.by]}
      </p>
      <details>
        <summary>Every number and its source</summary>
        <ScrollTable label={`Numbers of ${crop.name} and their sources`}>
          <table class="crop-numbers">
            <thead>
              <tr>
                <th scope="col">what</th>
                <th scope="col">number</th>
                <th scope="col">source</th>
              </tr>
            </thead>
            <tbody>
              {crop.figures.map((figure) => (
                <tr key={figure.name} class={figure.source === 'grower' ? 'yours' : undefined}>
                  <th scope="row">{figure.name}</th>
                  <td>
                    {inPrint(figure.value)}&nbsp;{figure.unit}
                  </td>
                  <td>
                    {SOURCE_WORDS[figure.source]}
                    {figure.note !== '' && <span class="aside">: {figure.note}</span>}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </ScrollTable>
      </details>
      <details>
        <summary>Put your own in their place</summary>
        <AdjustForm crop={crop} onChanged={onChanged} />
      </details>
    </section>
  )
}
