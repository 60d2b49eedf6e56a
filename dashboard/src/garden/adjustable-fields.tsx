/** Fields for the numbers of a crop that a grower can put their own in place of. */
import type { AdjustableFigure } from '../../../shared/api/crops.js'
import { bareSpacing, type LengthUnit, spacingText } from '../format/lengths.js'
import { TextField } from './fields.js'
import { adjustmentField } from './own-crop.js'
import { type Form, optionalNumberIn, textIn, type Values } from './use-form.js'
import { spacingIn } from './use-length-form.js'

/** The one length among them: asked for as spacings are everywhere, in centimetres or inches. */
const isLength = ({ field }: Pick<AdjustableFigure, 'field'>): boolean => field.endsWith('M')

const inField = (figure: AdjustableFigure, value: number, unit: LengthUnit): string =>
  isLength(figure) ? spacingText(value, unit) : String(value)

/** The library's number as the field would have it, with a true minus. */
const inPrint = (figure: AdjustableFigure, unit: LengthUnit): string =>
  inField(figure, figure.libraryValue, unit).replace('-', '\u2212')

/** What stands in a form's fields at first: the grower's own numbers. */
export const adjustedValues = (figures: readonly AdjustableFigure[], unit: LengthUnit): Values =>
  Object.fromEntries(
    figures.map((figure) => [
      adjustmentField(figure.field),
      figure.ownValue === null ? '' : inField(figure, figure.ownValue, unit),
    ]),
  )

/**
 * What was typed, in the hub's units.
 *
 * @returns null: left empty
 * @throws FieldProblem  no number, or no length
 */
export function adjustedIn(values: Values, figure: AdjustableFigure, unit: LengthUnit): number | null {
  const name = adjustmentField(figure.field)
  if (!isLength(figure)) return optionalNumberIn(values, name)
  return textIn(values, name) === '' ? null : spacingIn(values, name, unit, figure.ownValue)
}

interface AdjustableFieldsProps {
  readonly form: Form
  readonly figures: readonly AdjustableFigure[]
  readonly unit: LengthUnit
  /** "Kale has 40" */
  hintOf(figure: AdjustableFigure, libraryNumber: string): string
}

export function AdjustableFields({ form, figures, unit, hintOf }: AdjustableFieldsProps) {
  return (
    <div class="pair">
      {figures.map((figure) => (
        <TextField
          key={figure.field}
          form={form}
          name={adjustmentField(figure.field)}
          label={isLength(figure) ? figure.label.replace(/, m$/, `, ${bareSpacing(unit)}`) : figure.label}
          hint={hintOf(figure, inPrint(figure, unit))}
          isNumber={!isLength(figure) || unit === 'm'}
          size={6}
        />
      ))}
    </div>
  )
}
