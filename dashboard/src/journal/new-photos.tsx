/** Photos to go with an entry: taken or chosen, made small, shown, and taken away again. */
import { useId, useState } from 'preact/hooks'
import { failureText } from '../api/client.js'
import { Trouble } from '../parts/trouble.js'
import type { NewPhoto, PhotoDraft } from './photo-draft.js'
import { dataAddress, shrinkPhoto } from './shrink-photo.js'

/** As the hub has it, for one entry. */
const MOST = 6

interface NewPhotosProps {
  readonly draft: PhotoDraft
  /** photos that the entry has already */
  readonly before: number
}

interface PickerProps {
  readonly label: string
  readonly isCamera: boolean
  onFiles(files: readonly File[]): Promise<void>
}

function Picker({ label, isCamera, onFiles }: PickerProps) {
  const id = useId()
  return (
    <span class="picker">
      <input
        id={id}
        type="file"
        accept="image/*"
        {...(isCamera ? { capture: 'environment' as const } : { multiple: true })}
        onChange={(event) => {
          const input = event.currentTarget
          void onFiles([...(input.files ?? [])]).then(() => {
            input.value = ''
          })
        }}
      />
      <label for={id}>{label}</label>
    </span>
  )
}

export function NewPhotos({ draft, before }: NewPhotosProps) {
  const { photos } = draft
  const room = Math.max(0, MOST - before - photos.length)
  const [trouble, setTrouble] = useState<string | null>(null)

  async function shrunk(files: readonly File[]): Promise<readonly NewPhoto[]> {
    setTrouble(null)
    const added: NewPhoto[] = []
    for (const file of files.slice(0, room)) {
      try {
        const image = await shrinkPhoto(file)
        added.push({ image, address: await dataAddress(image) })
      } catch (error) {
        setTrouble(failureText(error))
      }
    }
    if (files.length > room) setTrouble(`An entry has room for ${MOST} photos.`)
    return added
  }
  const add = (files: readonly File[]): Promise<void> => draft.add(shrunk(files))

  return (
    <div class="new-photos">
      <Picker label="Take a photo" isCamera onFiles={add} />
      <Picker label="Choose a picture" isCamera={false} onFiles={add} />
      {photos.length > 0 && (
        <ul class="photos">
          {photos.map((photo, i) => (
            <li key={photo.address}>
              <img src={photo.address} alt={`New, number ${i + 1}`} width={72} height={72} />
              <button type="button" class="plain" onClick={() => void draft.leaveOut(photo)}>
                Not this one<span class="unseen">, number {i + 1}</span>
              </button>
            </li>
          ))}
        </ul>
      )}
      <Trouble text={trouble} />
    </div>
  )
}
