/**
 * Writing the journal from any page. Whatever is done here is kept in this browser first, shows at once, and goes to the hub
 * in order: now, or when it can be reached again (dashboard/src/outbox/). Ids are made here, so nothing comes twice.
 */
import type { JournalInput, JournalKind, JournalPhoto } from '../../../shared/api/journal.js'
import { randomId } from '../outbox/one-at-a-time.js'
import { amend, drop, forgetIfOnlyHere, itemNow, put, sendNow } from '../outbox/outbox.js'
import type { NewItem, OutboxItem, OutboxTask, Refusal } from '../outbox/outbox-item.js'
import { gardenId } from '../state/garden.js'

/** An entry to be written: what is left out is not said. */
export type EntryDraft = Partial<JournalInput> & { readonly kind: JournalKind; readonly on: string }

export interface Handed {
  readonly id: string
  /** 'waiting': kept here until the hub can be reached */
  readonly state: 'with-hub' | 'waiting' | 'refused'
  /** why the hub will not have it; it stays in the outbox with this until mended or thrown away */
  readonly refusal: Refusal | null
  /** number in the outbox */
  readonly seq: number
}

/** Who waits for the outcome waits no longer than this, ms: by then it counts as waiting. */
const OUTCOME_WITHIN_MS = 4_000
/** So long can the removal of an entry be undone, ms. */
export const REMOVAL_HELD_MS = 12_000

export const newEntryId = randomId

export const inputOf = (draft: EntryDraft): JournalInput => ({
  kind: draft.kind,
  on: draft.on,
  planting: draft.planting ?? null,
  bed: draft.bed ?? null,
  plants: draft.plants ?? null,
  firmness: draft.firmness ?? null,
  stemMm: draft.stemMm ?? null,
  weightKg: draft.weightKg ?? null,
  diameterMm: draft.diameterMm ?? null,
  what: draft.what ?? null,
  note: draft.note ?? null,
})

const itemOf = (task: OutboxTask, entry: string, holdUntilMs = 0): NewItem => ({
  ...task,
  garden: gardenId.peek(),
  entry,
  holdUntilMs,
})

/** Waits for the first attempt at sending, but not for ever. */
async function handed({ seq, entry }: OutboxItem): Promise<Handed> {
  await Promise.race([sendNow(), new Promise((resolve) => setTimeout(resolve, OUTCOME_WITHIN_MS))])
  const item = itemNow(seq)
  const refusal = item?.refusal ?? null
  const state = item === null ? 'with-hub' : refusal === null ? 'waiting' : 'refused'
  return { id: entry, state, refusal, seq }
}

/**
 * Writes an entry: kept in this browser when this resolves, and with the hub if it could be reached. Whole or not at all: who
 * is told that it failed, and tries again, must not find it twice.
 *
 * @param photos  JPEG, as shrunk in the page
 * @throws where this browser has no room to keep it
 */
export async function writeEntry(
  draft: EntryDraft,
  { id = newEntryId(), photos = [] }: { readonly id?: string; readonly photos?: readonly Uint8Array[] } = {},
): Promise<Handed> {
  const item = await put(itemOf({ task: 'write', input: inputOf(draft) }, id))
  try {
    for (const image of photos) await addPhoto(id, image)
  } catch (error) {
    await removeEntry(id)
    throw error
  }
  return handed(item)
}

/** Changes an entry, wherever it is by now: here, under way, or with the hub. Photos stay. */
export async function changeEntry(id: string, draft: EntryDraft): Promise<Handed> {
  return handed(await put(itemOf({ task: 'change', input: inputOf(draft) }, id)))
}

/** Takes an entry back for good, with its photos. One that never left this browser is simply forgotten. */
export async function removeEntry(id: string): Promise<void> {
  if (await forgetIfOnlyHere(id)) return
  await put(itemOf({ task: 'remove' }, id))
}

/** Takes an entry back after a while in which it can be kept after all; returns what keeps it. */
export async function removeEntryLater(id: string): Promise<{ keep(): Promise<boolean> }> {
  const { seq } = await put(itemOf({ task: 'remove' }, id, Date.now() + REMOVAL_HELD_MS))
  return {
    async keep() {
      if (itemNow(seq)?.isTried !== false) return false
      await drop([seq])
      return true
    },
  }
}

/** Puts a photo to an entry: kept when this resolves. @throws where this browser has no room to keep it */
export async function addPhoto(
  entry: string,
  image: Uint8Array,
  mediaType: JournalPhoto['mediaType'] = 'image/jpeg',
): Promise<void> {
  await put(itemOf({ task: 'photo', photo: randomId(), mediaType }, entry), image)
}

export async function removePhoto(entry: string, photo: string): Promise<void> {
  await put(itemOf({ task: 'remove-photo', photo }, entry))
}

/** Sends again what the hub refused, mended. `item` is the write or change that waits with its refusal. */
export async function mendEntry(item: OutboxItem, draft: EntryDraft): Promise<Handed> {
  const input = inputOf(draft)
  await amend(item.seq, { input, refusal: null })
  // had an earlier sending arrived after all, the hub would keep that one's words: this puts these in their place
  if (item.task === 'write') await put(itemOf({ task: 'change', input }, item.entry))
  return handed(item)
}

/** Forgets what the hub refused: the entry, if it never had it; else only what was to be done to it. */
export async function throwAway(item: OutboxItem): Promise<void> {
  if (item.task !== 'write' || !(await forgetIfOnlyHere(item.entry))) await drop([item.seq])
}
