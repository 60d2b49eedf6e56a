/** The journal itself, by date, newest first; each entry can be changed and taken back. */
import { useState } from 'preact/hooks'
import { dayMonthYear } from '../format/local-clock.js'
import { plantingPath } from '../routes.js'
import { mayChange } from '../state/access.js'
import { lengthUnit } from '../state/preferences.js'
import { byDay } from './by-day.js'
import { EntryForm } from './entry-form.js'
import { EntryPhotos } from './entry-photos.js'
import { REMOVAL_HELD_MS, removeEntryLater } from './journal-send.js'
import { entrySentence } from './journal-words.js'
import { openForm, orTell, setOpenForm, tell } from './open-form.js'
import { formsOf, placeWords } from './place-choice.js'
import type { ShownEntry } from './shown-entries.js'
import { throwRefusedAway } from './tell-written.js'

/** So many at first, and so many more each time: a page of seasons must stay light. */
const AT_FIRST = 40
const MORE = 100

const takeBack = (entry: ShownEntry, words: string): Promise<void> =>
  orTell('Not taken back', async () => {
    const held = await removeEntryLater(entry.id)
    const keep = (): Promise<void> =>
      orTell('Not kept', async () => tell((await held.keep()) ? 'Kept.' : 'Too late: it is gone.'))
    tell(`Taken back: ${words}`, {
      ways: [{ label: 'Keep it after all', run: () => void keep() }],
      // a little less than it is held, so that the way back never leads nowhere
      forMs: REMOVAL_HELD_MS - 2_000,
    })
  })

function StateWords({ entry }: { readonly entry: ShownEntry }) {
  if (entry.refused !== null) {
    const { seq, task, refusal } = entry.refused
    const isMendable = task === 'write' || task === 'change'
    return (
      <div class="refused">
        <p class="problem">
          The hub did not take {task === 'photo' ? 'the photo' : 'this'}: {refusal.message}.
          {refusal.problems.length > 0 && ` ${refusal.problems.map((p) => p.message).join('; ')}.`}
        </p>
        {isMendable && (
          <button type="button" onClick={() => setOpenForm({ of: 'entry', id: entry.id })}>
            Mend it
          </button>
        )}{' '}
        <button type="button" onClick={() => void throwRefusedAway(seq)}>
          Throw it away
        </button>
      </div>
    )
  }
  return entry.state === 'waiting' ? <span class="aside"> Not yet with the hub.</span> : null
}

function Entry({ entry, today }: { readonly entry: ShownEntry; readonly today: string }) {
  const open = openForm.value
  const isOpen = open?.of === 'entry' && open.id === entry.id
  const words = entrySentence(entry, lengthUnit.value, formsOf(entry.planting))
  const place = placeWords(entry.planting, entry.bed)
  return (
    <li class="journal-entry" data-entry={entry.id} data-state={entry.state}>
      <p>
        <b>{words}</b> {entry.planting === null ? place : <a href={plantingPath(entry.planting)}>{place}</a>}
        <StateWords entry={entry} />
      </p>
      {entry.note !== null && <p class="note-text">{entry.note}</p>}
      <EntryPhotos entry={entry} words={words} isEditing={isOpen} />
      {mayChange.value && (
        <p class="entry-ways">
          <button
            type="button"
            class="plain"
            aria-expanded={isOpen}
            onClick={() => setOpenForm(isOpen ? null : { of: 'entry', id: entry.id })}
          >
            Edit<span class="unseen"> “{words}”</span>
          </button>{' '}
          <button type="button" class="plain" onClick={() => void takeBack(entry, words)}>
            Take back<span class="unseen"> “{words}”</span>
          </button>
        </p>
      )}
      {isOpen && mayChange.value && (
        <EntryForm
          kind={entry.kind}
          entry={entry}
          place={entry}
          on={entry.on}
          today={today}
          onClose={() => setOpenForm(null)}
          onWritten={() => tell('Changed.')}
        />
      )}
    </li>
  )
}

interface EntryListProps {
  readonly entries: readonly ShownEntry[]
  /** unfiltered */
  readonly all: readonly ShownEntry[]
  readonly today: string
}

export function EntryList({ entries, all, today }: EntryListProps) {
  const [shownCount, setShown] = useState(AT_FIRST)
  const rest = entries.length - shownCount
  const open = openForm.value
  const head = entries.slice(0, shownCount)
  const isOpenHidden = open?.of === 'entry' && !head.some((entry) => entry.id === open.id)
  const opened = isOpenHidden ? all.filter((entry) => entry.id === open.id) : []
  return (
    <>
      {byDay([...opened, ...head]).map(([on, ofDay]) => (
        <div key={on} class="journal-day">
          <h4>{dayMonthYear(on)}</h4>
          <ul>
            {ofDay.map((entry) => (
              <Entry key={entry.id} entry={entry} today={today} />
            ))}
          </ul>
        </div>
      ))}
      {rest > 0 && (
        <p>
          <button type="button" onClick={() => setShown(shownCount + MORE)}>
            Show {Math.min(rest, MORE)} earlier ones
          </button>{' '}
          <span class="aside">
            {rest} more {rest === 1 ? 'entry' : 'entries'} further back
          </span>
        </p>
      )}
    </>
  )
}
