/** The region's usual temperatures, month by month: from them the days to come are guessed while past years are few. */
import { useEffect } from 'preact/hooks'
import type { TemperatureNormals } from '../../../shared/api/normals.js'
import { call, get } from '../api/client.js'
import { monthName } from '../format/local-clock.js'
import { toShown } from '../format/units.js'
import { Failure } from '../parts/failure.js'
import { inGarden } from '../state/garden.js'
import { tempUnit } from '../state/preferences.js'
import { resource } from '../state/resource.js'
import { FormFrame, TextField } from './fields.js'
import { RemoveButton } from './remove-button.js'
import { FieldProblem, type Form, numberIn, optionalTextIn, useForm, type Values } from './use-form.js'

interface Kept {
  readonly normals: TemperatureNormals | null
}

const normals = resource<Kept>((signal) => get(inGarden('/normals'), signal))

const MONTHS = Array.from({ length: 12 }, (_, i) =>
  monthName(`2027-${String(i + 1).padStart(2, '0')}-01`, false),
)
const SIDES = [
  { side: 'minC', word: 'lowest' },
  { side: 'maxC', word: 'highest' },
] as const

const fieldName = (side: 'minC' | 'maxC', month: number): string => `${side}.${month}`

/** Whole steps of a tenth: a typed 5.4 °C comes back as 5.4, whatever the unit did to it meanwhile. */
const tenths = (value: number): number => Math.round(value * 10) / 10

const toC = (shown: number): number => (tempUnit.value === 'F' ? (shown - 32) / 1.8 : shown)

function initialValues(kept: TemperatureNormals | null): Values {
  const values: Record<string, string> = { source: kept?.source ?? '' }
  for (const { side } of SIDES) {
    MONTHS.forEach((_, month) => {
      const tempC = kept?.[side][month]
      values[fieldName(side, month)] =
        tempC === undefined ? '' : String(tenths(toShown(tempC, '°C', tempUnit.value)))
    })
  }
  return values
}

/** @throws FieldProblem where a month is not a number, or its lowest lies above its highest */
export function typedNormals(values: Values): TemperatureNormals {
  const column = (side: 'minC' | 'maxC'): number[] =>
    MONTHS.map((_, month) => Math.round(toC(numberIn(values, fieldName(side, month))) * 1000) / 1000)
  const minC = column('minC')
  const maxC = column('maxC')
  minC.forEach((lowest, month) => {
    if (lowest > (maxC[month] ?? lowest))
      throw new FieldProblem(fieldName('minC', month), 'the lowest lies above the highest')
  })
  return { minC, maxC, source: optionalTextIn(values, 'source') }
}

function MonthCell({
  form,
  name,
  label,
}: {
  readonly form: Form
  readonly name: string
  readonly label: string
}) {
  const problem = form.problemOf(name)
  const problemId = `normals-${name}`
  return (
    <td>
      <input
        name={name}
        size={5}
        inputMode="decimal"
        autocomplete="off"
        aria-label={label}
        aria-invalid={problem !== null}
        aria-describedby={problem === null ? undefined : problemId}
        value={form.values[name] ?? ''}
        onInput={(event) => form.set(name, event.currentTarget.value)}
      />
      {problem !== null && (
        <p class="problem" id={problemId}>
          {problem}
        </p>
      )}
    </td>
  )
}

function NormalsForm({ kept }: { readonly kept: TemperatureNormals | null }) {
  const unit = tempUnit.value
  // what was typed in one unit must not be read in the other
  const form = useForm(`normals.${unit}`, initialValues(kept))
  return (
    <FormFrame
      form={form}
      label="Usual temperatures"
      submitLabel="Save the temperatures"
      aside={
        kept !== null && (
          <RemoveButton
            what="the usual temperatures"
            onRemove={async () => {
              await call('DELETE', inGarden('/normals'))
              form.reset()
              await normals.reload()
            }}
          />
        )
      }
      onSubmit={() =>
        void form.submit(async (values) => {
          await call('PUT', inGarden('/normals'), typedNormals(values))
          await normals.reload()
        })
      }
    >
      <table class="normals">
        <caption>Monthly means of each day’s lowest and highest air temperature, °{unit}</caption>
        <thead>
          <tr>
            <th scope="col">month</th>
            {SIDES.map(({ side, word }) => (
              <th key={side} scope="col">
                {word}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {MONTHS.map((month, i) => (
            <tr key={month}>
              <th scope="row">{month}</th>
              {SIDES.map(({ side, word }) => (
                <MonthCell
                  key={side}
                  form={form}
                  name={fieldName(side, i)}
                  label={`${month}, ${word}, °${unit}`}
                />
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      <TextField form={form} name="source" label="Where they are from" />
    </FormFrame>
  )
}

export function NormalsSection() {
  const { value, failure } = normals.state.value
  useEffect(() => void normals.reload(), [])
  return (
    <section aria-labelledby="normals-heading">
      <h3 id="normals-heading">Usual temperatures</h3>
      <p>
        Until the hub has seen years of its own it guesses the days to come from the climate of your region. A
        national weather service’s table of monthly normals has the figures.
      </p>
      {failure !== null && <Failure failure={failure} onRetry={() => void normals.reload()} />}
      {/* folded until asked for: what comes late moves nothing */}
      <details class="item">
        <summary>
          {(value?.normals ?? null) === null ? 'Type them in' : 'Look at them, or change them'}
        </summary>
        {value !== null && <NormalsForm kept={value.normals} />}
      </details>
    </section>
  )
}
