/** The outbox in the browser's own database: what is in it outlives the page, the browser and the battery. */
import { type DBSchema, openDB } from 'idb'
import { isOnlyHere, type OutboxItem } from './outbox-item.js'
import { changed, type OutboxStore } from './outbox-store.js'

interface OutboxSchema extends DBSchema {
  items: { key: number; value: OutboxItem }
  images: { key: string; value: Uint8Array }
  /** who may send, where the browser has no locks of its own */
  lease: { key: string; value: Lease }
  /** the last number given: none comes twice, or a new item could be taken for one that was sent */
  numbers: { key: string; value: number }
}

export interface Lease {
  readonly holder: string
  readonly untilMs: number
}

export interface LastingOutbox extends OutboxStore {
  /** Takes or prolongs the right to send. false: another has it. */
  claim(holder: string, nowMs: number, untilMs: number): Promise<boolean>
  release(holder: string): Promise<void>
}

const LEASE = 'send'
const LAST = 'seq'

/** @throws where the browser keeps nothing, or has no room */
export async function indexedOutbox(): Promise<LastingOutbox> {
  const db = await openDB<OutboxSchema>('hearting-outbox', 1, {
    upgrade(opened) {
      opened.createObjectStore('items', { keyPath: 'seq' })
      opened.createObjectStore('images')
      opened.createObjectStore('lease')
      opened.createObjectStore('numbers')
    },
    // a later version of this page wants to change it: let it
    blocking: (_from, _to, event) => {
      if (event.target instanceof IDBDatabase) event.target.close()
    },
  })

  return {
    all: () => db.getAll('items'),
    async add(item, image) {
      const tx = db.transaction(['items', 'images', 'numbers'], 'readwrite', { durability: 'strict' })
      const seq = ((await tx.objectStore('numbers').get(LAST)) ?? 0) + 1
      const kept: OutboxItem = { ...item, seq, isTried: false, refusal: null }
      await Promise.all([
        tx.objectStore('numbers').put(seq, LAST),
        tx.objectStore('items').add(kept),
        item.task === 'photo' && image !== undefined ? tx.objectStore('images').put(image, item.photo) : null,
        tx.done,
      ])
      return kept
    },
    image: async (photo) => (await db.get('images', photo)) ?? null,
    async update(seq, change) {
      const tx = db.transaction('items', 'readwrite')
      const item = await tx.store.get(seq)
      if (item !== undefined) await tx.store.put(changed(item, change))
      await tx.done
      return item !== undefined
    },
    async remove(seqs) {
      const tx = db.transaction(['items', 'images'], 'readwrite')
      for (const seq of seqs) {
        const item = await tx.objectStore('items').get(seq)
        if (item?.task === 'photo') await tx.objectStore('images').delete(item.photo)
        await tx.objectStore('items').delete(seq)
      }
      await tx.done
    },
    async forgetIfOnlyHere(entry) {
      const tx = db.transaction(['items', 'images'], 'readwrite')
      const items = await tx.objectStore('items').getAll()
      const isForgotten = isOnlyHere(items, entry)
      for (const item of isForgotten ? items.filter((i) => i.entry === entry) : []) {
        if (item.task === 'photo') await tx.objectStore('images').delete(item.photo)
        await tx.objectStore('items').delete(item.seq)
      }
      await tx.done
      return isForgotten
    },
    async claim(holder, nowMs, untilMs) {
      const tx = db.transaction('lease', 'readwrite')
      const held = await tx.store.get(LEASE)
      const isFree = held === undefined || held.holder === holder || held.untilMs <= nowMs
      if (isFree) await tx.store.put({ holder, untilMs }, LEASE)
      await tx.done
      return isFree
    },
    async release(holder) {
      const tx = db.transaction('lease', 'readwrite')
      if ((await tx.store.get(LEASE))?.holder === holder) await tx.store.delete(LEASE)
      await tx.done
    },
  }
}
