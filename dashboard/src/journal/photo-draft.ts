/**
 * Photos chosen for an entry that is not written yet. Kept by the tab like the typing beside them: a phone short of memory
 * reloads the page while its camera is open.
 */
import { useRef, useState } from 'preact/hooks'

export interface NewPhoto {
  readonly image: Uint8Array
  /** data: address, to show it */
  readonly address: string
}

export interface PhotoDraft {
  readonly photos: readonly NewPhoto[]
  /** @param more  being made small: whoever saves meanwhile waits for them */
  add(more: Promise<readonly NewPhoto[]>): Promise<void>
  leaveOut(photo: NewPhoto): Promise<void>
  /** All of them, once those under way are small. */
  settled(): Promise<readonly NewPhoto[]>
  forget(): void
}

const JPEG = 'data:image/jpeg;base64,'

const drafts = new Map<string, readonly NewPhoto[]>()
const storageKey = (key: string): string => `hearting.draft.${key}.photos`

const bytesOf = (base64: string): Uint8Array => Uint8Array.from(atob(base64), (char) => char.charCodeAt(0))

function stored(key: string): readonly NewPhoto[] {
  try {
    const kept: unknown = JSON.parse(sessionStorage.getItem(storageKey(key)) ?? '[]')
    const addresses = Array.isArray(kept) ? kept.filter((one) => typeof one === 'string') : []
    return addresses
      .filter((address) => address.startsWith(JPEG))
      .map((address) => ({ address, image: bytesOf(address.slice(JPEG.length)) }))
  } catch {
    // no storage, or not ours: then none were chosen
    return []
  }
}

function keep(key: string, photos: readonly NewPhoto[]): void {
  drafts.set(key, photos)
  try {
    // first of all, so that none too many are left behind where there is no room for the new ones
    sessionStorage.removeItem(storageKey(key))
    if (photos.length > 0)
      sessionStorage.setItem(storageKey(key), JSON.stringify(photos.map(({ address }) => address)))
  } catch {
    // the draft in memory still holds
  }
}

/** @param key  names the form, as for its typing */
export function usePhotoDraft(key: string): PhotoDraft {
  const [photos, setPhotos] = useState(() => drafts.get(key) ?? stored(key))
  const latest = useRef(Promise.resolve(photos))

  async function change(next: Promise<readonly NewPhoto[]>): Promise<void> {
    latest.current = next
    const all = await next
    // overtaken by a newer change, or forgotten meanwhile
    if (latest.current !== next) return
    keep(key, all)
    setPhotos(all)
  }
  return {
    photos,
    add: (more) => change(Promise.all([latest.current, more]).then(([old, fresh]) => [...old, ...fresh])),
    leaveOut: (photo) => change(latest.current.then((all) => all.filter((one) => one !== photo))),
    settled: () => latest.current,
    forget() {
      latest.current = Promise.resolve([])
      keep(key, [])
      setPhotos([])
    },
  }
}
