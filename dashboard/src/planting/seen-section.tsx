/** What was done to the planting and seen of it, from the journal; what is seen sets the later stages right. */

import { useState } from 'preact/hooks'
import type { JournalEntry } from '../../../shared/api/journal.js'
import type { Seen } from '../../../shared/api/progress.js'
import { isDate } from '../../../shared/local-time.js'
import { failureText } from '../api/client.js'
import { dayMonthYear } from '../format/local-clock.js'
import {
  type Handed,
  inputOf,
  newEntryId,
  removeEntry,
  throwAway,
  writeEntry,
} from '../journal/journal-send.js'
import { entrySentence } from '../journal/journal-words.js'
import { type ShownEntry, shownEntries } from '../journal/shown-entries.js'
import { itemNow, sendNow, waiting } from '../outbox/outbox.js'
import { mayChange } from '../state/access.js'
import { lengthUnit } from '../state/preferences.js'
import { toldHere } from '../state/told-here.js'
import { draftOf, notYetSeen, withWritten } from './planting-journal.js'
import { seenWords } from './planting-words.js'

/** So many lines; the rest is a touch away. */
const NEWEST = 8

interface SeenSectionProps {
  readonly planting: string
  /** what the crop forms: head, curd, leaves … */
  readonly forms: string
  /** its emergence was seen elsewhere, if at all */
  readonly isPlantedOut: boolean
  readonly today: string
  /** the planting's, as the hub has it */
  readonly journal: readonly JournalEntry[]
  onChanged(): Promise<void>
}

interface Told {
  readonly text: string
  readonly isTrouble: boolean
  /** the entry that can be undone */
  readonly entry: string | null
}

function Lines({ entries, forms }: { readonly entries: readonly ShownEntry[]; readonly forms: string }) {
  const unit = lengthUnit.value
  return (
    <table class="journal-lines">
      <caption class="unseen">The planting’s journal, newest first</caption>
      <tbody>
        {entries.map((entry) => (
          <tr key={entry.id}>
            <th scope="row">{dayMonthYear(entry.on)}</th>
            <td>
              {entrySentence(entry, unit, forms)}
              {entry.note !== null && <span class="note-text"> {entry.note}</span>}
              {entry.photos.length > 0 && (
                <span class="aside">
                  {' '}
                  {entry.photos.length === 1 ? 'One photo.' : `${entry.photos.length} photos.`}
                </span>
              )}
              {entry.state === 'waiting' && <span class="aside"> Not yet with the hub.</span>}
              {entry.state === 'refused' && <span class="problem"> The hub did not take this.</span>}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

/** Why the hub would not have it, as it says at the fields. */
function refusalText({ refusal }: Handed): string {
  const messages = refusal?.problems.map(({ message }) => message) ?? []
  return toldHere(messages.length > 0 ? messages.join('; ') : (refusal?.message ?? ''))
}

export function SeenSection({ planting, forms, isPlantedOut, today, journal, onChanged }: SeenSectionProps) {
  const [date, setDate] = useState<string | null>(null)
  const [sending, setSending] = useState<Seen | null>(null)
  const [written, setWritten] = useState<readonly JournalEntry[]>([])
  /** gone from the page before they are from the hub's list */
  const [undone, setUndone] = useState<readonly string[]>([])
  const [told, setTold] = useState<Told | null>(null)
  const on = date ?? today
  const known = withWritten(journal, written)
  const items = waiting.value.filter(
    (item) =>
      ('input' in item && item.input.planting === planting) || known.some(({ id }) => id === item.entry),
  )
  const entries = shownEntries(known, items).filter(
    (entry) => entry.planting === planting && !undone.includes(entry.id),
  )
  const address = `/journal?planting=${encodeURIComponent(planting)}`

  async function see(seen: Seen): Promise<void> {
    setSending(seen)
    const id = newEntryId()
    const draft = { ...draftOf(seen), planting, on }
    const words = `${seenWords(seen, forms)}, ${dayMonthYear(on)}`
    try {
      setWritten([{ ...inputOf(draft), id, photos: [], writtenAt: new Date().toISOString() }, ...written])
      const handed = await writeEntry(draft, { id })
      if (handed.state === 'refused') {
        const item = itemNow(handed.seq)
        if (item !== null) await throwAway(item)
        setWritten(written)
        setTold({ text: `Not noted: ${refusalText(handed)}.`, isTrouble: true, entry: null })
        return
      }
      const later = handed.state === 'waiting' ? ' It goes to the hub when that can be reached.' : ''
      setTold({ text: `Noted: ${words}.${later}`, isTrouble: false, entry: id })
      setDate(null)
      await onChanged()
    } catch (error) {
      setWritten(written)
      setTold({ text: `Not noted: ${failureText(error)}`, isTrouble: true, entry: null })
    } finally {
      setSending(null)
    }
  }

  async function undo(id: string): Promise<void> {
    try {
      setUndone([...undone, id])
      await removeEntry(id)
      setTold({ text: 'Undone.', isTrouble: false, entry: null })
      await sendNow()
      await onChanged()
    } catch (error) {
      setUndone(undone)
      setTold({ text: `Not undone: ${failureText(error)}`, isTrouble: true, entry: id })
    }
  }

  return (
    <section class="planting-part" aria-label="What was done and seen">
      <h3>What was done and seen</h3>
      {entries.length === 0 && (
        <p>
          Nothing noted yet. What you saw sets the stages right, and the dates to come with them.{' '}
          {mayChange.value && <a href={address}>Write in its journal</a>}
        </p>
      )}
      {entries.length > 0 && <Lines entries={entries.slice(0, NEWEST)} forms={forms} />}
      {entries.length > NEWEST && (
        <details>
          <summary>
            {entries.length - NEWEST} earlier {entries.length - NEWEST === 1 ? 'entry' : 'entries'}
          </summary>
          <Lines entries={entries.slice(NEWEST)} forms={forms} />
        </details>
      )}
      {entries.length > 0 && (
        <p class="seen-more">
          <a href={address}>
            {mayChange.value ? 'Write more, add photos, mend or take back: its journal' : 'Its journal'}
          </a>
        </p>
      )}
      {mayChange.value && (
        <>
          <div class="seen-buttons">
            {notYetSeen(entries, isPlantedOut).map((seen) => (
              <button key={seen} type="button" disabled={sending !== null} onClick={() => void see(seen)}>
                {seenWords(seen, forms)}
              </button>
            ))}
          </div>
          <p class="seen-date">
            <label>
              seen on{' '}
              <input
                type="date"
                value={on}
                max={today}
                onInput={(event) => {
                  if (isDate(event.currentTarget.value)) setDate(event.currentTarget.value)
                }}
              />
            </label>{' '}
            {on === today && <span class="aside">today</span>}
          </p>
        </>
      )}
      <p
        role={told?.isTrouble === true ? 'alert' : 'status'}
        class={told?.isTrouble === true ? 'problem' : 'aside'}
      >
        {told?.text ?? ''}{' '}
        {told !== null && told.entry !== null && (
          <button type="button" class="plain" onClick={() => void undo(told.entry ?? '')}>
            Undo
          </button>
        )}
      </p>
    </section>
  )
}
