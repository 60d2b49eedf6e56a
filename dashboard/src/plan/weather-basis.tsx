/** What the plan rests on: each that there is, how to get another, and the file of a year. */

import { useRef, useState } from 'preact/hooks'
import type { Plan, PlanBasis } from '../../../shared/api/plan.js'
import { call, failureText } from '../api/client.js'
import { capital } from '../format/sentences.js'
import { RemoveButton } from '../garden/remove-button.js'
import { Switch } from '../parts/switch.js'
import { mayChange } from '../state/access.js'
import { inGarden } from '../state/garden.js'
import { toldHere } from '../state/told-here.js'
import { sendYear } from './plan-data.js'

const BASIS_WORDS: Readonly<Record<PlanBasis, string>> = {
  'garden days': 'days measured in this garden',
  normals: 'monthly means typed in',
  'chosen year': 'a chosen year’s file',
}

interface WeatherBasisProps {
  readonly plan: Plan
  /** asked for; null: whatever there is */
  readonly basis: PlanBasis | null
  onChoose(basis: PlanBasis | null): void
  onChanged(): Promise<void>
}

function YearFile({ hasFile, onChanged }: { readonly hasFile: boolean; onChanged(): Promise<void> }) {
  const input = useRef<HTMLInputElement>(null)
  const [trouble, setTrouble] = useState<string | null>(null)
  const [told, setTold] = useState('')

  async function send(file: File): Promise<void> {
    setTrouble(null)
    setTold('Reading the file …')
    try {
      const { days, from, to } = await sendYear(file)
      setTold(toldHere(`Taken: ${days} days from ${from} to ${to}.`))
      await onChanged()
    } catch (error) {
      setTold('')
      setTrouble(failureText(error))
    }
    // the same file, mended, may be chosen again
    if (input.current !== null) input.current.value = ''
  }

  return (
    <div class="entry">
      <div class="field">
        <label for="plan-year-file">A year of weather from a file</label>
        <input
          ref={input}
          id="plan-year-file"
          type="file"
          accept=".csv,text/csv"
          aria-invalid={trouble !== null}
          aria-describedby="plan-year-hint plan-year-trouble"
          onChange={(event) => {
            const file = event.currentTarget.files?.[0]
            if (file !== undefined) void send(file)
          }}
        />
        <p class="hint" id="plan-year-hint">
          CSV with a line a day (date, tmin_c, tmax_c) or an hour (time, air_temp_c), in °C, with soil_temp_c
          beside it if you have it; a whole year at least. Of a longer file the newest whole year is taken.
        </p>
        <p class="problem" id="plan-year-trouble" role="alert">
          {trouble}
        </p>
        <p role="status">{told}</p>
      </div>
      {hasFile && (
        <RemoveButton
          what="the year’s file"
          onRemove={async () => {
            await call('DELETE', inGarden('/plan-weather'))
            setTold('')
            await onChanged()
          }}
        />
      )}
    </div>
  )
}

export function WeatherBasis({ plan, basis, onChoose, onChanged }: WeatherBasisProps) {
  const there = plan.bases.filter(({ isThere }) => isThere)
  return (
    <section class="plan-part" aria-labelledby="plan-weather-heading">
      <h3 id="plan-weather-heading">The weather it rests on</h3>
      {there.length > 1 && (
        <Switch<PlanBasis>
          legend="Plan by"
          options={there.map(({ basis: value }) => ({ value, label: BASIS_WORDS[value] }))}
          chosen={basis ?? plan.basis}
          onChoose={onChoose}
        />
      )}
      <ul class="plan-bases">
        {plan.bases.map((one) => (
          <li key={one.basis}>
            <b>{capital(BASIS_WORDS[one.basis])}</b>
            {one.basis === plan.basis ? ', used here: ' : ': '}
            {toldHere(one.words)}
          </li>
        ))}
      </ul>
      {basis !== null && plan.basis === null && there.length > 0 && (
        <p>
          <button type="button" onClick={() => onChoose(null)}>
            Plan by what there is
          </button>
        </p>
      )}
      <p class="plan-ways">
        <a href="/garden">Type in the region’s monthly means</a> under Garden, “Usual temperatures”.
      </p>
      {mayChange.value && (
        <details>
          <summary>Give a year’s file</summary>
          <YearFile
            hasFile={plan.bases.some((one) => one.basis === 'chosen year' && one.isThere)}
            onChanged={onChanged}
          />
        </details>
      )}
    </section>
  )
}
