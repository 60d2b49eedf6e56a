/** The form of one entry: a new one of a kind that wants more than a touch, or one that is changed or mended. */
import { useEffect, useRef } from 'preact/hooks'
import type { JournalKind } from '../../../shared/api/journal.js'
import { ApiFailure } from '../api/client.js'
import type { LengthUnit } from '../format/lengths.js'
import { FormFrame, TextField } from '../garden/fields.js'
import { type Form, useForm, type Values } from '../garden/use-form.js'
import { itemNow } from '../outbox/outbox.js'
import { gardenId } from '../state/garden.js'
import { lengthUnit } from '../state/preferences.js'
import { FirmnessField, NoteField, PlaceField } from './entry-fields.js'
import {
  addPhoto,
  changeEntry,
  type Handed,
  mendEntry,
  removeEntry,
  throwAway,
  writeEntry,
} from './journal-send.js'
import { kindWords } from './journal-words.js'
import { type FieldFault, type FieldName, fieldsOf, readTyped, typedOf, whatLabel } from './kind-fields.js'
import { NewPhotos } from './new-photos.js'
import { takeFresh } from './open-form.js'
import { usePhotoDraft } from './photo-draft.js'
import { type Place, placeKey, placeOf } from './place.js'
import { formsOf } from './place-choice.js'
import type { ShownEntry } from './shown-entries.js'

interface EntryFormProps {
  readonly kind: JournalKind
  /** null: a new one */
  readonly entry: ShownEntry | null
  /** of a new one */
  readonly place: Place
  /** date of a new one */
  readonly on: string
  readonly today: string
  onClose(): void
  onWritten(handed: Handed): void
}

/** Told at the fields, like the hub's own problems. */
const atFields = (message: string, problems: readonly FieldFault[]): ApiFailure =>
  new ApiFailure('refused', 400, message, {
    type: 'about:blank',
    title: 'Not taken',
    status: 400,
    detail: message,
    code: 'INVALID_INPUT',
    problems: [...problems],
  })

function labelOf(field: FieldName, kind: JournalKind, unit: LengthUnit): string {
  switch (field) {
    case 'plants':
      return 'How many plants'
    case 'stemMm':
      return `Thickness of the stem, ${unit === 'm' ? 'mm' : 'inches'}`
    case 'weightKg':
      return `Weight of all, ${unit === 'm' ? 'kg' : 'lb'}`
    case 'diameterMm':
      return `Across one ${kind === 'cut' ? 'of them' : 'head'}, ${unit === 'm' ? 'cm' : 'inches'}`
    case 'firmness':
      return 'How it felt'
    case 'what':
      return whatLabel(kind)
  }
}

function KindField(props: { form: Form; field: FieldName; kind: JournalKind; unit: LengthUnit }) {
  const { form, field, kind, unit } = props
  const label = labelOf(field, kind, unit)
  if (field === 'firmness') return <FirmnessField form={form} label={label} />
  if (field === 'what') return <TextField form={form} name={field} label={label} />
  return (
    <TextField form={form} name={field} label={label} isNumber size={6} isRequired={field === 'stemMm'} />
  )
}

export function EntryForm({ kind, entry, place, on, today, onClose, onWritten }: EntryFormProps) {
  const unit = lengthUnit.value
  const typed = typedOf(entry ?? { on }, unit)
  const initial: Values = entry === null ? typed : { ...typed, planting: placeKey(entry) }
  // a draft in pounds must not be read as kilograms
  const form = useForm(`journal.${gardenId.value}.${unit}.${entry?.id ?? `new.${kind}`}`, initial)
  const draft = usePhotoDraft(`journal.${gardenId.value}.${entry?.id ?? `new.${kind}`}`)

  async function send(values: Values): Promise<void> {
    const where = entry === null ? place : placeOf(values.planting ?? placeKey(entry))
    const { input, faults } = readTyped(kind, values, where, unit, entry)
    if (faults.length > 0) throw atFields('Something is missing or cannot be read.', faults)
    // a large one may still be on its way to being small
    const taken = await draft.settled()
    const handed = await (entry === null
      ? writeEntry(input, { photos: taken.map((photo) => photo.image) })
      : sendChange(entry, input))
    if (handed.refusal !== null) {
      // it stands in this form still: not in the outbox as well
      if (entry === null) await removeEntry(handed.id)
      else if (entry.refused === null) {
        const item = itemNow(handed.seq)
        if (item !== null) await throwAway(item)
      }
      throw atFields(handed.refusal.message, handed.refusal.problems)
    }
    if (entry !== null) for (const photo of taken) await addPhoto(entry.id, photo.image)
    written = handed
  }

  let written: Handed | null = null
  async function submit(): Promise<void> {
    await form.submit(send)
    if (written === null) return
    draft.forget()
    onClose()
    onWritten(written)
  }

  const element = useRef<HTMLDivElement>(null)
  useEffect(() => {
    if (takeFresh()) element.current?.querySelector<HTMLElement>('input, select, textarea')?.focus()
  }, [])

  return (
    <div class="entry-form" ref={element}>
      {entry === null ? <h3>{kindWords(kind, formsOf(place.planting))}</h3> : <h4>Change the entry</h4>}
      <FormFrame
        form={form}
        label={`${kindWords(kind)}: the entry`}
        submitLabel={entry === null ? 'Write it down' : 'Save'}
        aside={
          <button
            type="button"
            class="plain"
            onClick={() => {
              form.reset()
              draft.forget()
              onClose()
            }}
          >
            {entry === null ? 'Leave it' : 'Leave it as it was'}
          </button>
        }
        onSubmit={() => void submit()}
      >
        {entry !== null && <PlaceField form={form} today={today} />}
        <div class="pair">
          {fieldsOf(kind).map((field) => (
            <KindField key={field} form={form} field={field} kind={kind} unit={unit} />
          ))}
          <TextField form={form} name="on" label="On" type="date" isRequired />
        </div>
        <NoteField form={form} isRequired={kind === 'note'} />
        <NewPhotos
          draft={draft}
          before={entry === null ? 0 : entry.photos.length + entry.waitingPhotos.length}
        />
      </FormFrame>
    </div>
  )
}

async function sendChange(entry: ShownEntry, input: Parameters<typeof changeEntry>[1]): Promise<Handed> {
  const item = entry.refused === null ? null : itemNow(entry.refused.seq)
  const isMendable = item !== null && (item.task === 'write' || item.task === 'change')
  return isMendable ? mendEntry(item, input) : changeEntry(entry.id, input)
}
