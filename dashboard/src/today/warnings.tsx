/** Warnings as sentences: what, why, what to do. 'Noted' folds one away without clearing it. */
import { useState } from 'preact/hooks'
import type { Warning } from '../../../shared/api/warnings.js'
import { call, failureText } from '../api/client.js'
import { dateAndClock } from '../format/local-clock.js'
import { page, plantingPath } from '../routes.js'
import { mayChange } from '../state/access.js'
import { bedName, inGarden, timeZone, warnings } from '../state/garden.js'
import { clockStyle } from '../state/preferences.js'
import { nowMs } from '../state/present.js'
import { toldHere } from '../state/told-here.js'

/** Most severe first, then newest. */
const ORDER = ['Extreme', 'Severe', 'Moderate', 'Minor', 'Unknown']
export function bySeverity(a: Warning, b: Warning): number {
  return ORDER.indexOf(a.severity) - ORDER.indexOf(b.severity) || b.raisedAt.localeCompare(a.raisedAt)
}

/** So many are told in full; of the rest the headline, until opened: the beds must not sink out of sight. */
const IN_FULL = 1

/** How sure it is: 'likely, 7 in 10' where there are odds, 'observed' where it was measured. */
function certaintyWords(warning: Warning): string[] {
  const words = warning.certainty === 'Unknown' ? [] : [warning.certainty.toLowerCase()]
  const odds = typeof warning.chance !== 'number' ? [] : [`${Math.round(warning.chance * 10)} in 10`]
  const both = [...words, ...odds].join(', ')
  return both === '' ? [] : [both]
}

/** 'from Sat 28 Nov 12:00, 8 in 10': what has not begun yet says when; null for what has. */
function toCome(warning: Warning): string | null {
  if (warning.onset === null || Date.parse(warning.onset) <= nowMs.value) return null
  const from = dateAndClock(Date.parse(warning.onset), timeZone.value, clockStyle.value)
  return [`from ${from}`, ...certaintyWords(warning)].join(', ')
}

/** 'By the gate · likely, 7 in 10 · from Sat 8 May · said Thu 6 May 14:10' */
function foot(warning: Warning): string {
  const moment = (iso: string): string => dateAndClock(Date.parse(iso), timeZone.value, clockStyle.value)
  const where = warning.bed === null ? warning.node : bedName(warning.bed)
  const isWhereSaid = where === null || warning.headline.includes(where)
  const isToCome = warning.onset !== null && Date.parse(warning.onset) > nowMs.value
  return [
    ...(isWhereSaid ? [] : [where]),
    ...certaintyWords(warning),
    ...(isToCome && warning.onset !== null
      ? [`from ${moment(warning.onset)}`, `said ${moment(warning.raisedAt)}`]
      : [`since ${moment(warning.raisedAt)}`]),
  ].join(' · ')
}

/** A headline runs on into its reason: it needs its capital and its full stop. */
const asSentence = (text: string): string =>
  `${text.charAt(0).toUpperCase()}${text.slice(1)}${/[.!?]$/.test(text) ? '' : '.'}`

interface ReasonProps {
  readonly warning: Warning
  onNoted?(): Promise<void>
}

function Reason({ warning, onNoted }: ReasonProps) {
  const [trouble, setTrouble] = useState<string | null>(null)

  async function note(): Promise<void> {
    try {
      await call('POST', inGarden(`/warnings/${encodeURIComponent(warning.id)}/seen`))
      setTrouble(null)
      await warnings.reload()
      await onNoted?.()
    } catch (error) {
      setTrouble(`Not noted: ${failureText(error)}`)
    }
  }

  return (
    <>
      <p>{toldHere(warning.advice)}</p>
      <p class="warning-foot">
        <span>{foot(warning)}</span>
        {warning.planting !== null && page.value.name !== 'planting' && (
          <a href={plantingPath(warning.planting)}>
            how it grows<span class="unseen">: what “{warning.headline}” is about</span>
          </a>
        )}
        {warning.seenAt === null && mayChange.value && (
          <button type="button" class="plain" onClick={() => void note()}>
            Noted<span class="unseen">: {warning.headline}</span>
          </button>
        )}
        {trouble !== null && <span role="alert">{trouble}</span>}
      </p>
    </>
  )
}

interface WarningItemProps {
  readonly warning: Warning
  readonly isInFull: boolean
  /** after the reader has noted it, beyond the garden's own list */
  onNoted?(): Promise<void>
}

export function WarningItem({ warning, isInFull, onNoted }: WarningItemProps) {
  const headline = toldHere(asSentence(warning.headline))
  const why = toldHere(warning.why)
  return (
    <li
      class={isInFull ? 'warning' : 'warning folded'}
      data-kind={warning.kind}
      data-severity={warning.severity}
    >
      {isInFull ? (
        <>
          <p>
            <b>{headline}</b> {why}
          </p>
          <Reason warning={warning} {...(onNoted === undefined ? {} : { onNoted })} />
        </>
      ) : (
        <details>
          <summary>
            <b>{headline}</b>
            {toCome(warning) !== null && <span class="when"> {toCome(warning)}</span>}
          </summary>
          <p>{why}</p>
          <Reason warning={warning} {...(onNoted === undefined ? {} : { onNoted })} />
        </details>
      )}
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
            {fresh.map((w, i) => (
              <WarningItem key={w.id} warning={w} isInFull={i < IN_FULL} />
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
              <WarningItem key={w.id} warning={w} isInFull={false} />
            ))}
          </ul>
        </details>
      )}
    </section>
  )
}
