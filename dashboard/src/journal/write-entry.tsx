/** Writing with muddy hands: of what, when, then one touch; the likely entries first. */
import { useState } from 'preact/hooks'
import type { Firmness, JournalKind } from '../../../shared/api/journal.js'
import { isDate } from '../../../shared/local-time.js'
import { dayMonth } from '../format/local-clock.js'
import { crops, plantings, today as todayData } from '../state/garden.js'
import { lengthUnit } from '../state/preferences.js'
import { EntryForm } from './entry-form.js'
import { entries } from './journal-data.js'
import { newEntryId, writeEntry } from './journal-send.js'
import { entrySentence, kindWords } from './journal-words.js'
import { FIRMNESS, isOneTouch } from './kind-fields.js'
import { likelyKinds, OF_BED, otherKinds } from './likely-kinds.js'
import { openForm, orTell, setOpenForm } from './open-form.js'
import { choosePlace, type Place, placeKey, placeOf } from './place.js'
import { formsOf, PlaceOptions, placeWords } from './place-choice.js'
import { tellWritten } from './tell-written.js'

function likelyAt(place: Place, today: string): readonly JournalKind[] {
  const planting = plantings.state.value.value?.find((p) => p.id === place.planting)
  if (planting === undefined) return OF_BED
  const crop = crops.state.value.value?.find((c) => c.id === planting.crop)
  const standing = todayData.state.value.value?.beds
    .flatMap((bed) => bed.plantings)
    .find((p) => p.id === planting.id)
  const written = entries.value
    .filter((entry) => entry.planting === planting.id)
    .map((entry) => entry.kind)
    .reverse()
  return likelyKinds({
    planting,
    isSownInPlace: crop?.usualStart === 'sown',
    written,
    stage: standing?.stage ?? null,
    today,
  })
}

interface WriteEntryProps {
  readonly place: Place
  readonly today: string
}

export function WriteEntry({ place, today }: WriteEntryProps) {
  const [chosenDate, setDate] = useState<string | null>(null)
  const on = chosenDate ?? today
  const unit = lengthUnit.value
  const forms = formsOf(place.planting)
  const likely = likelyAt(place, today)
  const others = otherKinds(likely, place.planting !== null)
  const open = openForm.value
  const openKind = open?.of === 'new' ? open.kind : null

  async function touch(kind: JournalKind, firmness: Firmness | null = null): Promise<void> {
    const id = newEntryId()
    const draft = { kind, on, ...place, firmness }
    const text = `${entrySentence(draft, unit, forms).replace(/\.$/, '')}, ${dayMonth(on)}.`
    await orTell('Not written', async () => {
      const writing = writeEntry(draft, { id })
      // shown at once: whether the hub can be reached is another matter
      tellWritten({ id, state: 'waiting', refusal: null, seq: 0 }, text)
      const handed = await writing
      if (handed.refusal !== null) tellWritten(handed, text)
    })
  }

  const button = (kind: JournalKind) =>
    isOneTouch(kind) ? (
      <button key={kind} type="button" onClick={() => void touch(kind)}>
        {kindWords(kind, forms)}
      </button>
    ) : kind === 'firmness' ? (
      <span key={kind} class="felt-now">
        <span>{kindWords(kind, forms)}:</span>
        {FIRMNESS.map((firmness) => (
          <button key={firmness} type="button" onClick={() => void touch(kind, firmness)}>
            {firmness}
          </button>
        ))}
      </span>
    ) : (
      <button
        key={kind}
        type="button"
        aria-expanded={openKind === kind}
        onClick={() => setOpenForm(openKind === kind ? null : { of: 'new', kind })}
      >
        {kindWords(kind, forms)} …
      </button>
    )

  return (
    <section aria-label="Write an entry" class="write-entry">
      <div class="pair">
        <div class="field">
          <label for="journal-place">Of what</label>
          <select
            id="journal-place"
            value={placeKey(place)}
            onChange={(event) => choosePlace(placeOf(event.currentTarget.value))}
          >
            <PlaceOptions today={today} />
          </select>
        </div>
        <div class="field">
          <label for="journal-date">On{on === today ? ' (today)' : ''}</label>
          <input
            id="journal-date"
            type="date"
            value={on}
            max={today}
            onInput={(event) => {
              const { value } = event.currentTarget
              if (isDate(value)) setDate(value === today ? null : value)
            }}
          />
        </div>
      </div>
      <div class="touches">{likely.map(button)}</div>
      <details>
        <summary>All other entries</summary>
        <div class="touches">{others.map(button)}</div>
      </details>
      {openKind !== null && (
        <EntryForm
          key={`${openKind} ${placeKey(place)}`}
          kind={openKind}
          entry={null}
          place={place}
          on={on}
          today={today}
          onClose={() => setOpenForm(null)}
          onWritten={(handed) =>
            tellWritten(
              handed,
              `Written: ${kindWords(openKind, forms).toLowerCase()}, ${placeWords(place.planting, place.bed)}.`,
            )
          }
        />
      )}
    </section>
  )
}
