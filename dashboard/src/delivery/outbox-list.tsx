/** What was sent, is waiting, or did not arrive, and why. */
import type { OutboxEntry } from '../../../shared/api/delivery.js'
import { localDate } from '../../../shared/local-time.js'
import { clockTime, dayMonthYear } from '../format/local-clock.js'
import { timeZone } from '../state/garden.js'
import { clockStyle } from '../state/preferences.js'

const EVENT_WORDS = { raised: 'raised', changed: 'changed', cleared: 'over' } as const

function moment(iso: string): string {
  const atMs = Date.parse(iso)
  const day = dayMonthYear(localDate(atMs, timeZone.value))
  return `${day}, ${clockTime(atMs, timeZone.value, clockStyle.value)}`
}

function stateWords({ state, due, settledAt, attempts }: OutboxEntry): string {
  const tries = attempts > 1 ? ` after ${attempts} attempts` : ''
  switch (state) {
    case 'sent':
      return `sent${settledAt === null ? '' : ` ${moment(settledAt)}`}${tries}`
    case 'sending':
      return 'being sent'
    case 'waiting':
      return due === null ? 'waits' : `waits until ${moment(due)}`
    case 'failed':
      return `not sent${tries}`
    case 'dropped':
      return 'not sent'
  }
}

export function OutboxList({ entries }: { readonly entries: readonly OutboxEntry[] }) {
  if (entries.length === 0) return <p class="beside">Nothing yet.</p>
  return (
    <ul class="history">
      {entries.map((entry) => (
        <li key={entry.id}>
          {entry.headline} ({EVENT_WORDS[entry.event]} {moment(entry.at)}), to{' '}
          <span class="address">{entry.target}</span>: {stateWords(entry)}.
          {entry.trouble !== null && <span class="problem"> {entry.trouble}</span>}
        </li>
      ))}
    </ul>
  )
}
