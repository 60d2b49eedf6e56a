/** The sun of a bed through the year, and of another bed beside it. */
import { useState } from 'preact/hooks'
import { isDate, localDate } from '../../../shared/local-time.js'
import { bedPath } from '../routes.js'
import { bedName, beds, timeZone } from '../state/garden.js'
import { nowMs } from '../state/present.js'
import { Patterns } from '../sun/patterns.js'
import { StateKey } from '../sun/state-key.js'
import { BedSunYear } from './bed-sun-year.js'
import { ComparisonTable } from './comparison-table.js'

const STATES = new Set(['sun', 'cloud', 'shade', 'unknown', 'night'] as const)
const NONE = ''

export function SunYearPage({ bed }: { readonly bed: string }) {
  const today = localDate(nowMs.value, timeZone.value)
  const [date, setDate] = useState(today)
  const [beside, setBeside] = useState(NONE)
  const known = beds.state.value.value
  const others = (known ?? []).filter((b) => b.id !== bed)
  if (known !== null && !known.some((b) => b.id === bed))
    return (
      <section>
        <h2>No such bed</h2>
        <p>
          The garden has no bed “{bed}”. <a href="/">Back to today</a>
        </p>
      </section>
    )
  return (
    <>
      <Patterns />
      <div class="page-title">
        <h2>The sun on {bedName(bed)}</h2>
        <p class="bed-links">
          <a href={bedPath(bed)}>its charts and days</a>
        </p>
      </div>
      <div class="dates sun-year-choice">
        <label>
          the sun’s way on{' '}
          <input
            type="date"
            value={date}
            onInput={(event) => {
              if (isDate(event.currentTarget.value)) setDate(event.currentTarget.value)
            }}
          />
        </label>
        {others.length > 0 && (
          <label>
            beside it{' '}
            <select value={beside} onChange={(event) => setBeside(event.currentTarget.value)}>
              <option value={NONE}>no other bed</option>
              {others.map((b) => (
                <option key={b.id} value={b.id}>
                  {b.name}
                </option>
              ))}
            </select>
          </label>
        )}
      </div>
      <StateKey states={STATES} />
      <div class={beside === NONE ? 'sun-years' : 'sun-years two'}>
        <div>
          {beside !== NONE && <h2>{bedName(bed)}</h2>}
          <BedSunYear bed={bed} today={today} date={date} />
        </div>
        {beside !== NONE && (
          <div>
            <h2>{bedName(beside)}</h2>
            <BedSunYear key={beside} bed={beside} today={today} date={date} />
          </div>
        )}
      </div>
      {others.length > 0 && <ComparisonTable today={today} />}
    </>
  )
}
