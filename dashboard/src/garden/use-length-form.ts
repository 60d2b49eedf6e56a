/** A form with lengths in it, in the reader's unit. */
import { type LengthUnit, lengthsInText } from '../format/lengths.js'
import { lengthUnit } from '../state/preferences.js'
import { type Form, useForm, type Values } from './use-form.js'

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
