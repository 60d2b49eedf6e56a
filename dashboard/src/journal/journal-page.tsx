/** The journal: what was done and seen, written with one touch, and read by date. */
import { useEffect, useMemo, useState } from 'preact/hooks'
import type { JournalKind } from '../../../shared/api/journal.js'
import { localDate } from '../../../shared/local-time.js'
import { Failure } from '../parts/failure.js'
import { mayChange } from '../state/access.js'
import { beds, crops, gardenId, plantings, timeZone } from '../state/garden.js'
import { nowMs } from '../state/present.js'
import { EntryList } from './entry-list.js'
import { entries, followJournal, journal } from './journal-data.js'
import { ALL_KINDS, kindWords } from './journal-words.js'
import { OutboxNotice } from './outbox-notice.js'
import { chosenPlace, type Place, recallPlace, THE_GARDEN } from './place.js'
import { nameOfPlanting } from './place-choice.js'
import { filtered, type JournalFilter } from './shown-entries.js'
import { ToldLine } from './told-line.js'
import { WriteEntry } from './write-entry.js'

function filterInAddress(): JournalFilter {
  const query = new URLSearchParams(location.search)
  return {
    planting: query.get('planting'),
    kind: ALL_KINDS.find((kind) => kind === query.get('kind')) ?? null,
  }
}

function toAddress({ planting, kind }: JournalFilter): void {
  const query = new URLSearchParams()
  if (planting !== null) query.set('planting', planting)
  if (kind !== null) query.set('kind', kind)
  const text = query.toString()
  history.replaceState(null, '', text === '' ? '/journal' : `/journal?${text}`)
}

/** The planting of the address; what was chosen last; the only or first one that grows; a bed; the garden. */
function placeFor(filter: JournalFilter, today: string): Place {
  const known = plantings.state.value.value ?? []
  const named = known.find((planting) => planting.id === filter.planting)
  const chosen = chosenPlace.value
  const isThere =
    chosen !== null &&
    (chosen.planting === null || known.some((planting) => planting.id === chosen.planting)) &&
    (chosen.bed === null || (beds.state.value.value ?? []).some((bed) => bed.id === chosen.bed))
  if (isThere) return chosen
  const growing = named ?? known.find(({ finishedOn }) => finishedOn === null || finishedOn >= today)
  if (growing !== undefined) return { planting: growing.id, bed: null }
  const bed = beds.state.value.value?.[0]
  return bed === undefined ? THE_GARDEN : { planting: null, bed: bed.id }
}

interface FiltersProps {
  readonly filter: JournalFilter
  onChange(filter: JournalFilter): void
}

function Filters({ filter, onChange }: FiltersProps) {
  return (
    <div class="pair filters">
      <div class="field">
        <label for="filter-planting">Entries of</label>
        <select
          id="filter-planting"
          value={filter.planting ?? ''}
          onChange={(event) => onChange({ ...filter, planting: event.currentTarget.value || null })}
        >
          <option value="">everything</option>
          {(plantings.state.value.value ?? []).map((planting) => (
            <option key={planting.id} value={planting.id}>
              {nameOfPlanting(planting)}
              {planting.sownOn === null ? '' : `, sown ${planting.sownOn.slice(0, 4)}`}
            </option>
          ))}
        </select>
      </div>
      <div class="field">
        <label for="filter-kind">of the kind</label>
        <select
          id="filter-kind"
          value={filter.kind ?? ''}
          onChange={(event) => {
            const kind: JournalKind | null = ALL_KINDS.find((k) => k === event.currentTarget.value) ?? null
            onChange({ ...filter, kind })
          }}
        >
          <option value="">every kind</option>
          {ALL_KINDS.map((kind) => (
            <option key={kind} value={kind}>
              {kindWords(kind)}
            </option>
          ))}
        </select>
      </div>
    </div>
  )
}

function Empty({ isAll }: { readonly isAll: boolean }) {
  if (!isAll) return <p class="none">No entries of this kind yet.</p>
  return (
    <p class="invitation">
      Nothing is written yet.{' '}
      {mayChange.value
        ? 'Choose above what it is about, then touch what you did or saw. What you write here sets the stages right and makes the review of the season.'
        : 'What the grower does and sees will be read here.'}
    </p>
  )
}

export function JournalPage() {
  const [filter, setFilter] = useState(filterInAddress)
  const garden = gardenId.value
  const today = localDate(nowMs.value, timeZone.value)

  useEffect(() => {
    recallPlace()
    // an address that names a planting is a choice too
    if (filter.planting !== null) chosenPlace.value = { planting: filter.planting, bed: null }
    void plantings.reload()
    void crops.reload()
    return followJournal()
  }, [garden])

  const all = entries.value
  const shown = useMemo(() => filtered(all, filter), [all, filter])
  const { value, failure } = journal.state.value
  const isSettled = [plantings, crops, journal].every(
    ({ state }) => state.value.value !== null || state.value.failure !== null,
  )
  // set whole: forms and buttons that come one by one would be pushed about under the finger
  if (!isSettled) {
    return (
      <section class="journal journal-unset">
        <h2>Journal</h2>
        <p class="waiting">Fetching the journal …</p>
      </section>
    )
  }

  return (
    <section class="journal">
      <h2>Journal</h2>
      <OutboxNotice />
      {mayChange.value && <WriteEntry place={placeFor(filter, today)} today={today} />}
      <ToldLine />
      {value === null && failure !== null && all.length === 0 && (
        <Failure failure={failure} onRetry={() => void journal.reload()} />
      )}
      {(value !== null || all.length > 0) && (
        <>
          <h3>What was done and seen</h3>
          <Filters
            filter={filter}
            onChange={(next) => {
              toAddress(next)
              setFilter(next)
            }}
          />
          {shown.length === 0 && <Empty isAll={all.length === 0} />}
          {all.length > 0 && (
            <EntryList key={`${filter.planting} ${filter.kind}`} entries={shown} all={all} today={today} />
          )}
        </>
      )}
    </section>
  )
}
