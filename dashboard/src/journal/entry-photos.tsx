/** The photos of an entry, small; each opens whole. Their room is reserved before they come. */
import { useEffect, useState } from 'preact/hooks'
import { RemoveButton } from '../garden/remove-button.js'
import { imageOf } from '../outbox/outbox.js'
import { inGarden } from '../state/garden.js'
import { removePhoto } from './journal-send.js'
import type { ShownEntry } from './shown-entries.js'
import { dataAddress } from './shrink-photo.js'

const SIDE_PX = 72

const addressOf = (entry: string, photo: string): string =>
  `/api/v1${inGarden(`/journal/${entry}/photos/${photo}`)}`

/** A photo that the hub has not yet. */
function WaitingPhoto({ photo, alt }: { readonly photo: string; readonly alt: string }) {
  const [address, setAddress] = useState<string | null>(null)
  useEffect(() => {
    let isShown = true
    void imageOf(photo)
      .then((image) => (image === null ? null : dataAddress(image)))
      .then((found) => {
        if (isShown) setAddress(found)
      })
    return () => {
      isShown = false
    }
  }, [photo])
  if (address === null) return <span class="no-photo">…</span>
  return <img src={address} alt={alt} width={SIDE_PX} height={SIDE_PX} />
}

interface EntryPhotosProps {
  readonly entry: ShownEntry
  /** its sentence, for who cannot see */
  readonly words: string
  readonly isEditing: boolean
}

export function EntryPhotos({ entry, words, isEditing }: EntryPhotosProps) {
  if (entry.photos.length + entry.waitingPhotos.length === 0) return null
  return (
    <ul class="photos">
      {entry.photos.map((photo, i) => (
        <li key={photo.id}>
          <a href={addressOf(entry.id, photo.id)}>
            <img
              src={addressOf(entry.id, photo.id)}
              alt={`${i + 1}: ${words}`}
              loading="lazy"
              decoding="async"
              width={SIDE_PX}
              height={SIDE_PX}
            />
          </a>
          {isEditing && (
            <RemoveButton
              what={`the photo, number ${i + 1}`}
              onRemove={() => removePhoto(entry.id, photo.id)}
            />
          )}
        </li>
      ))}
      {entry.waitingPhotos.map((photo, i) => (
        <li key={photo}>
          <WaitingPhoto photo={photo} alt={`Waiting, ${i + 1}: ${words}`} />
        </li>
      ))}
    </ul>
  )
}
