/** Latitude and longitude as people write them; a pair pasted into one of the two goes where it belongs. */
import { type Axis, angleIn, pairIn } from '../front-door/coordinates.js'
import { TextField } from './fields.js'
import { FieldProblem, type Form, type Values } from './use-form.js'

/** @throws FieldProblem */
export function degreesIn(values: Values, field: string, axis: Axis): number {
  const angle = angleIn(values[field] ?? '', axis)
  if ('problem' in angle) throw new FieldProblem(field, angle.problem)
  return angle.deg
}

export function CoordinateFields({ form }: { readonly form: Form }) {
  const paired: Form = {
    ...form,
    set(field, value) {
      const pair = pairIn(value)
      form.set(pair === null ? field : 'latitudeDeg', pair?.latitude ?? value)
      if (pair !== null) form.set('longitudeDeg', pair.longitude)
    },
  }
  return (
    <div class="pair">
      <TextField
        form={paired}
        name="latitudeDeg"
        label="Latitude"
        hint="55.68 or 55°41′N; south with a minus or an S."
        isRequired
      />
      <TextField
        form={paired}
        name="longitudeDeg"
        label="Longitude"
        hint="12.57 or 12°34′E; west with a minus or a W."
        isRequired
      />
    </div>
  )
}
