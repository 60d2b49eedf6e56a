/** The numbers the crop is reckoned by, each with its source; the grower can put their own in their place. */
import type { AdjustableFigure, GardenCrop } from '../../../shared/api/crops.js'
import { call } from '../api/client.js'
import { FormFrame, TextField } from '../garden/fields.js'
import { RemoveButton } from '../garden/remove-button.js'
import { optionalNumberIn, useForm, type Values } from '../garden/use-form.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { inGarden } from '../state/garden.js'

const SOURCE_WORDS: Readonly<Record<GardenCrop['figures'][number]['source'], string>> = {
  published: 'published',
  'common practice': 'common practice',
  memory: 'from memory, not checked',
  derived: 'worked out, a first guess',
  grower: 'yours',
}

/** As the library has it, with a true minus. */
const inPrint = (value: number): string => String(value).replace('-', '\u2212')

const fieldName = (figure: AdjustableFigure): string => `adjustments.${figure.field}`

interface CropNumbersProps {
  readonly crop: GardenCrop
  onChanged(): Promise<void>
}

function AdjustForm({ crop, onChanged }: CropNumbersProps) {
  const own = (figure: AdjustableFigure): string => (figure.ownValue === null ? '' : String(figure.ownValue))
  const form = useForm(
    `crop.${crop.id}`,
    Object.fromEntries(crop.adjustable.map((figure) => [fieldName(figure), own(figure)])),
  )
  const path = inGarden(`/crops/${encodeURIComponent(crop.id)}`)

  async function send(values: Values): Promise<void> {
    const adjustments = Object.fromEntries(
      crop.adjustable.flatMap((figure) => {
        const value = optionalNumberIn(values, fieldName(figure))
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
      <div class="pair">
        {crop.adjustable.map((figure) => (
          <TextField
            key={figure.field}
            form={form}
            name={fieldName(figure)}
            label={figure.label}
            hint={
              figure.ownValue === null
                ? `the library has ${inPrint(figure.libraryValue)}`
                : `yours; the library has ${inPrint(figure.libraryValue)}`
            }
            isNumber
            size={6}
          />
        ))}
      </div>
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
