/** A form with lengths in it, in the reader's unit. */
import { bareSpacing, type LengthUnit, lengthIn, lengthsInText, spacingText } from '../format/lengths.js'
import { lengthUnit } from '../state/preferences.js'
import { FieldProblem, type Form, textIn, useForm, type Values } from './use-form.js'

interface LengthForm {
  readonly form: Form
  /** of the lengths in its fields: it stays what it was when one was typed, whatever is chosen meanwhile at the foot of the page */
  readonly unit: LengthUnit
}

/** @param key, initial  as for useForm; fields of lengths have names that end with M */
export function useLengthForm(key: string, initial: Values): LengthForm {
  const typed = useForm(key, { ...initial, lengthUnit: lengthUnit.value })
  const unit: LengthUnit = typed.values.lengthUnit === 'ft' ? 'ft' : 'm'
  const form: Form = {
    ...typed,
    problemOf(field) {
      const problem = typed.problemOf(field)
      return problem === null ? null : lengthsInText(problem, unit)
    },
    set(field, value) {
      typed.set(field, value)
      if (field.endsWith('M')) typed.set('lengthUnit', unit)
    },
  }
  return { form, unit }
}

/**
 * A spacing as typed, m.
 *
 * @param storedM  one that was not touched is sent as it was stored: fractions of inches would not come back the same; null: none was
 * @throws FieldProblem  no length
 */
export function spacingIn(values: Values, field: string, unit: LengthUnit, storedM: number | null): number {
  const text = textIn(values, field)
  if (storedM !== null && text === spacingText(storedM, unit)) return storedM
  const spacingM = lengthIn(text, bareSpacing(unit))
  if (spacingM !== null && spacingM > 0) return Math.round(spacingM * 1e6) / 1e6
  throw new FieldProblem(field, `write a length, e.g. ${unit === 'm' ? '40' : '16'}`)
}
