/** What "done" is told where a tap is not enough: what was seen, what was cut. */
import type { Task } from '../../../shared/api/tasks.js'
import { POUND_KG } from '../format/lengths.js'
import { FormFrame, TextField } from '../garden/fields.js'
import { FieldProblem, optionalNumberIn, optionalTextIn, useForm, type Values } from '../garden/use-form.js'
import { lengthUnit } from '../state/preferences.js'
import { sayDone } from './tasks-data.js'

interface FormProps {
  readonly task: Task
  readonly today: string
}

export function PestsForm({ task, today }: FormProps) {
  const form = useForm(`task.${task.id}`, { what: '' })
  const send = async (values: Values): Promise<void> => {
    const what = optionalTextIn(values, 'what')
    if (what === null) throw new FieldProblem('what', 'say what you saw')
    await sayDone(task, today, { what })
  }
  return (
    <FormFrame
      form={form}
      label="What you saw"
      submitLabel="Write it down"
      onSubmit={() => void form.submit(send)}
    >
      <TextField
        form={form}
        name="what"
        label="What you saw"
        hint="e.g. yellow eggs, green caterpillars"
        isRequired
      />
    </FormFrame>
  )
}

export function HarvestForm({ task, today }: FormProps) {
  const isPounds = lengthUnit.value === 'ft'
  // a draft in pounds must not be read as kilograms
  const form = useForm(`task.${task.id}.${lengthUnit.value}`, { plants: '', weightKg: '' })
  const send = async (values: Values): Promise<void> => {
    const weight = optionalNumberIn(values, 'weightKg')
    await sayDone(task, today, {
      plants: optionalNumberIn(values, 'plants'),
      weightKg: weight === null ? null : weight * (isPounds ? POUND_KG : 1),
    })
  }
  return (
    <FormFrame
      form={form}
      label="What was cut"
      submitLabel="Write it down"
      onSubmit={() => void form.submit(send)}
    >
      <div class="pair">
        <TextField form={form} name="plants" label="How many" hint="Empty: all of them." isNumber size={6} />
        <TextField
          form={form}
          name="weightKg"
          label={isPounds ? 'Weight of all, lb' : 'Weight of all, kg'}
          isNumber
          size={8}
        />
      </div>
    </FormFrame>
  )
}
