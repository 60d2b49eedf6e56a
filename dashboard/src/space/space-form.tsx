/** The fields of the page about space: where, what, how far apart, in which order. */
import type { Crop } from '../../../shared/api/crops.js'
import type { Bed } from '../../../shared/api/garden.js'
import type { SpaceLayout } from '../../../shared/api/space.js'
import { type LengthUnit, showLength, spacingText } from '../format/lengths.js'
import { ChoiceField, LengthField, TextField } from '../garden/fields.js'
import type { Form } from '../garden/use-form.js'
import { nextSpacingM } from './ladder.js'
import { isRoundable, OTHER_SIZE } from './space-question.js'

const SHAPES = [
  { value: 'rectangle', label: 'four corners' },
  { value: 'round', label: 'round' },
]

export const PATTERN_WORDS: Readonly<Record<SpaceLayout['pattern'], string>> = {
  square: 'square rows',
  offset: 'shifted rows',
  rings: 'rings',
}

interface SpaceFormProps {
  readonly form: Form
  readonly beds: readonly Bed[]
  readonly crops: readonly Crop[]
  readonly bed: Bed | null
  readonly unit: LengthUnit
  /** of the spacing's field; null: it holds no length */
  readonly spacingM: number | null
}

export function SpaceForm({ form, beds, crops, bed, unit, spacingM }: SpaceFormProps) {
  const isRound = form.values.shape === 'round'
  const usualM = crops.find((one) => one.id === form.values.crop)?.spacingM
  const step = (towards: 1 | -1): void => {
    if (spacingM !== null) form.set('spacingM', spacingText(nextSpacingM(spacingM, towards, unit), unit))
  }
  return (
    <form
      class="entry space-form"
      aria-label="What to lay out"
      noValidate
      onSubmit={(e) => e.preventDefault()}
    >
      <div class="pair">
        <ChoiceField
          form={form}
          name="bed"
          label="Where"
          isRequired
          options={[
            ...beds.map((one) => ({ value: one.id, label: one.name })),
            { value: OTHER_SIZE, label: 'another size …' },
          ]}
        />
        {(bed === null || isRoundable(bed)) && (
          <ChoiceField form={form} name="shape" label="Its shape" isRequired options={SHAPES} />
        )}
        <ChoiceField
          form={form}
          name="crop"
          label="Crop"
          isRequired
          options={crops.map((one) => ({ value: one.id, label: one.name }))}
        />
      </div>
      {bed === null && (
        <div class="pair">
          <LengthField
            form={form}
            name="lengthM"
            label={isRound ? 'Across' : 'Length'}
            unit={unit}
            isRequired
          />
          {!isRound && <LengthField form={form} name="widthM" label="Width" unit={unit} isRequired />}
          <LengthField form={form} name="depthM" label="Depth of soil" unit={unit} />
        </div>
      )}
      <div class="pair space-spacing">
        <TextField
          form={form}
          name="spacingM"
          label={`Plant to plant, ${unit === 'm' ? 'cm' : 'in'}`}
          hint={
            usualM === undefined
              ? 'How far apart, every way.'
              : `Usual for this crop: ${showLength(usualM, unit)}.`
          }
          isNumber={unit === 'm'}
          size={6}
          isRequired
        />
        <p class="space-steps">
          <button type="button" onClick={() => step(-1)} disabled={spacingM === null}>
            Closer
          </button>
          <button type="button" onClick={() => step(1)} disabled={spacingM === null}>
            Wider
          </button>
        </p>
      </div>
    </form>
  )
}
