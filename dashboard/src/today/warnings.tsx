/** Warnings as sentences: what, why, what to do. 'Noted' folds one away without clearing it. */
import { useState } from 'preact/hooks'
import type { Warning } from '../../../shared/api/warnings.js'
import { call, failureText } from '../api/client.js'
import { dateAndClock } from '../format/local-clock.js'
import { bedName, inGarden, timeZone, warnings } from '../state/garden.js'
import { clockStyle } from '../state/preferences.js'

/** Most severe first, then newest. */
const ORDER = ['Extreme', 'Severe', 'Moderate', 'Minor', 'Unknown']
function bySeverity(a: Warning, b: Warning): number {
  return ORDER.indexOf(a.severity) - ORDER.indexOf(b.severity) || b.raisedAt.localeCompare(a.raisedAt)
}

function whereAndSince(warning: Warning): string {
  const since = `since ${dateAndClock(Date.parse(warning.raisedAt), timeZone.value, clockStyle.value)}`
  const where = warning.bed === null ? warning.node : bedName(warning.bed)
  const certainty = warning.certainty === 'Unknown' ? [] : [warning.certainty.toLowerCase()]
  return [...(where === null ? [] : [where]), ...certainty, since].join(' · ')
}

function WarningText({ warning }: { readonly warning: Warning }) {
  const [trouble, setTrouble] = useState<string | null>(null)

  async function note(): Promise<void> {
    try {
      await call('POST', inGarden(`/warnings/${encodeURIComponent(warning.id)}/seen`))
      setTrouble(null)
      await warnings.reload()
    } catch (error) {
      setTrouble(`Not noted: ${failureText(error)}`)
    }
  }

  return (
    <li class="warning" data-kind={warning.kind} data-severity={warning.severity}>
      <p>
        <b>{warning.headline}</b> {warning.why}
      </p>
      <p>{warning.advice}</p>
      <p class="warning-foot">
        <span>{whereAndSince(warning)}</span>
        {warning.seenAt === null && (
          <button type="button" class="plain" onClick={() => void note()}>
            Noted<span class="unseen">: {warning.headline}</span>
          </button>
        )}
        {trouble !== null && <span role="alert">{trouble}</span>}
      </p>
    </li>
  )
}

export function Warnings() {
  const active = (warnings.state.value.value ?? []).filter((w) => w.clearedAt === null).sort(bySeverity)
  const fresh = active.filter((w) => w.seenAt === null)
  const noted = active.filter((w) => w.seenAt !== null)
  return (
    <section aria-label="Warnings">
      <div aria-live="polite">
        {fresh.length > 0 && (
          <ul class="warnings">
            {fresh.map((w) => (
              <WarningText key={w.id} warning={w} />
            ))}
          </ul>
        )}
      </div>
      {noted.length > 0 && (
        <details class="noted">
          <summary>
            {noted.length === 1 ? 'One warning noted' : `${noted.length} warnings noted`}, still standing
          </summary>
          <ul class="warnings">
            {noted.map((w) => (
              <WarningText key={w.id} warning={w} />
            ))}
          </ul>
        </details>
      )}
    </section>
  )
}
