/** Name of the garden, the day in words, and the ways through the almanac. */
import { hoursInWords } from '../format/durations.js'
import { clockTime, dateInWords } from '../format/local-clock.js'
import { go, page } from '../routes.js'
import { chooseGarden, garden, gardenId, gardens, isUnset, timeZone, today } from '../state/garden.js'
import { clockStyle } from '../state/preferences.js'

const MINUTE_MS = 60_000

const WAYS = [
  { href: '/', name: 'today', label: 'Today' },
  { href: '/to-do', name: 'to-do', label: 'To do' },
  { href: '/journal', name: 'journal', label: 'Journal' },
  { href: '/plan', name: 'plan', label: 'Plan' },
  { href: '/review', name: 'review', label: 'Look back' },
  { href: '/nodes', name: 'nodes', label: 'Nodes' },
  { href: '/garden', name: 'garden', label: 'Garden' },
] as const

/** 'Thursday, the 6th of May · sunrise 5:21, sunset 20:37 · 15 h 16 min of daylight' */
function dayLine(): string {
  const day = today.state.value.value
  if (day === null) return '\u00a0'
  // as almanacs do, to the nearest minute
  const clock = (iso: string): string =>
    clockTime(Math.round(Date.parse(iso) / MINUTE_MS) * MINUTE_MS, timeZone.value, clockStyle.value)
  const parts = [dateInWords(day.date)]
  if (day.sunrise !== null && day.sunset !== null)
    parts.push(
      `sunrise ${clock(day.sunrise)}, sunset ${clock(day.sunset)}`,
      `${hoursInWords(day.daylightHours)} of daylight`,
    )
  else parts.push(day.daylightHours > 12 ? 'the sun does not set today' : 'the sun does not rise today')
  return parts.join(' · ')
}

function GardenChoice() {
  const known = gardens.state.value.value ?? []
  if (known.length < 2) return null
  return (
    <label class="garden-choice">
      <span class="unseen">Garden</span>
      <select
        value={gardenId.value}
        onChange={(event) => {
          chooseGarden(event.currentTarget.value)
          // what an address names is of the garden before
          const { name } = page.peek()
          go(WAYS.find((way) => way.name === name)?.href ?? '/')
        }}
      >
        {known.map((g) => (
          <option key={g.id} value={g.id}>
            {g.name}
          </option>
        ))}
      </select>
    </label>
  )
}

export function Masthead() {
  const shown = page.value.name
  return (
    <header class="masthead">
      <div class="masthead-title">
        <h1>{garden.value?.name ?? (isUnset.value ? 'A new garden' : '\u00a0')}</h1>
        <p>{isUnset.value ? 'its almanac begins here' : dayLine()}</p>
        <GardenChoice />
      </div>
      <nav aria-label="Pages">
        {WAYS.map((way) => (
          <a
            key={way.name}
            href={way.href}
            aria-current={
              shown === way.name || (shown === 'space' && way.name === 'plan') ? 'page' : undefined
            }
          >
            {way.label}
          </a>
        ))}
      </nav>
    </header>
  )
}
