/** Where things wait for the hub: a port, and one that forgets with the page. The lasting one is in indexed-outbox.ts. */
import type { JournalInput } from '../../../shared/api/journal.js'
import { isOnlyHere, type NewItem, type OutboxItem, type Refusal } from './outbox-item.js'

export interface ItemChange {
  readonly isTried?: boolean
  readonly refusal?: Refusal | null
  /** of a write or a change that was refused */
  readonly input?: JournalInput
}

export interface OutboxStore {
  /** in the order in which things were done */
  all(): Promise<OutboxItem[]>
  /** Resolves once it is kept. */
  add(item: NewItem, image?: Uint8Array): Promise<OutboxItem>
  image(photo: string): Promise<Uint8Array | null>
  /** false: it is no longer there */
  update(seq: number, change: ItemChange): Promise<boolean>
  /** Removes items, with their images. */
  remove(seqs: readonly number[]): Promise<void>
  /** Forgets all of an entry that the hub cannot have. false: it may have it, and nothing is forgotten. */
  forgetIfOnlyHere(entry: string): Promise<boolean>
}

/** A change as it leaves the item; an input is only for what has one. */
export function changed(item: OutboxItem, { isTried, refusal, input }: ItemChange): OutboxItem {
  const kept = {
    ...item,
    ...(isTried === undefined ? {} : { isTried }),
    ...(refusal === undefined ? {} : { refusal }),
  }
  return input !== undefined && (kept.task === 'write' || kept.task === 'change') ? { ...kept, input } : kept
}

/** For browsers that keep nothing (some private windows): it waits while the page is open. */
export function fleetingOutbox(): OutboxStore {
  let items: OutboxItem[] = []
  const images = new Map<string, Uint8Array>()
  let lastSeq = 0
  const removeAll = (gone: (item: OutboxItem) => boolean): void => {
    for (const item of items) if (gone(item) && item.task === 'photo') images.delete(item.photo)
    items = items.filter((item) => !gone(item))
  }
  return {
    all: async () => [...items],
    async add(item, image) {
      const kept: OutboxItem = { ...item, seq: ++lastSeq, isTried: false, refusal: null }
      items.push(kept)
      if (item.task === 'photo' && image !== undefined) images.set(item.photo, image)
      return kept
    },
    image: async (photo) => images.get(photo) ?? null,
    async update(seq, change) {
      const at = items.findIndex((item) => item.seq === seq)
      const item = items[at]
      if (item === undefined) return false
      items[at] = changed(item, change)
      return true
    },
    async remove(seqs) {
      removeAll((item) => seqs.includes(item.seq))
    },
    async forgetIfOnlyHere(entry) {
      if (!isOnlyHere(items, entry)) return false
      removeAll((item) => item.entry === entry)
      return true
    },
  }
}
