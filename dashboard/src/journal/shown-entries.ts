/** The journal as it is shown: what the hub has, with what waits in this browser laid over it. Pure. */
import type { JournalEntry, JournalKind } from '../../../shared/api/journal.js'
import type { OutboxItem, Refusal } from '../outbox/outbox-item.js'

export type EntryState = 'with-hub' | 'waiting' | 'refused'

export interface ShownEntry extends Omit<JournalEntry, 'writtenAt'> {
  /** null: the hub has not had it yet */
  readonly writtenAt: string | null
  readonly state: EntryState
  /** the item that the hub refused, and why */
  readonly refused: {
    readonly seq: number
    readonly task: OutboxItem['task']
    readonly refusal: Refusal
  } | null
  /** photos that wait in this browser */
  readonly waitingPhotos: readonly string[]
}

const asShown = (entry: JournalEntry): ShownEntry => ({
  ...entry,
  state: 'with-hub',
  refused: null,
  waitingPhotos: [],
})

function laidOver(entry: ShownEntry, item: OutboxItem): ShownEntry {
  const refused =
    item.refusal === null ? entry.refused : { seq: item.seq, task: item.task, refusal: item.refusal }
  const state: EntryState = refused === null ? 'waiting' : 'refused'
  switch (item.task) {
    case 'write':
    case 'change':
      return { ...entry, ...item.input, refused, state }
    case 'photo': {
      // the hub has it, only its answer got lost
      if (entry.photos.some((photo) => photo.id === item.photo)) return entry
      return { ...entry, waitingPhotos: [...entry.waitingPhotos, item.photo], refused, state }
    }
    case 'remove-photo':
      return { ...entry, photos: entry.photos.filter((photo) => photo.id !== item.photo), refused, state }
    case 'remove':
      return { ...entry, refused, state }
  }
}

/** Newest day first; within a day what was written last. */
function byDate(a: ShownEntry, b: ShownEntry): number {
  if (a.on !== b.on) return a.on < b.on ? 1 : -1
  if (a.writtenAt === b.writtenAt) return 0
  if (a.writtenAt === null) return -1
  if (b.writtenAt === null) return 1
  return Date.parse(b.writtenAt) - Date.parse(a.writtenAt)
}

/** @param items  of this garden, in the order in which things were done */
export function shownEntries(
  entries: readonly JournalEntry[],
  items: readonly OutboxItem[],
): readonly ShownEntry[] {
  const byId = new Map(entries.map((entry) => [entry.id, asShown(entry)]))
  for (const item of items) {
    const known = byId.get(item.entry)
    // taken back, unless the hub would not have that
    if (item.task === 'remove' && item.refusal === null) byId.delete(item.entry)
    else if (known !== undefined) byId.set(item.entry, laidOver(known, item))
    // a change says all of an entry too: one that the hub does not give, or took back meanwhile, is not lost from sight
    else if ('input' in item)
      byId.set(
        item.entry,
        laidOver(
          {
            ...item.input,
            id: item.entry,
            photos: [],
            writtenAt: null,
            state: 'waiting',
            refused: null,
            waitingPhotos: [],
          },
          item,
        ),
      )
  }
  // newest first as they came: sorting keeps the order of equals
  return [...byId.values()].reverse().sort(byDate)
}

export interface JournalFilter {
  readonly planting: string | null
  readonly kind: JournalKind | null
}

export const filtered = (
  entries: readonly ShownEntry[],
  { planting, kind }: JournalFilter,
): readonly ShownEntry[] =>
  entries.filter(
    (entry) => (planting === null || entry.planting === planting) && (kind === null || entry.kind === kind),
  )
