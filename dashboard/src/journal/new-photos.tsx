/** Photos to go with an entry: taken or chosen, made small, shown, and taken away again. */
import { useId, useState } from 'preact/hooks'
import { failureText } from '../api/client.js'
import { dataAddress, shrinkPhoto } from './shrink-photo.js'

export interface NewPhoto {
  readonly image: Uint8Array
  /** data: address, to show it */
  readonly address: string
}

/** As the hub has it, for one entry. */
const MOST = 6

interface NewPhotosProps {
  readonly photos: readonly NewPhoto[]
  onChange(photos: readonly NewPhoto[]): void
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

export function NewPhotos({ photos, onChange }: NewPhotosProps) {
  const [trouble, setTrouble] = useState<string | null>(null)

  async function add(files: readonly File[]): Promise<void> {
    setTrouble(null)
    const added: NewPhoto[] = []
    for (const file of files) {
      try {
        const image = await shrinkPhoto(file)
        added.push({ image, address: await dataAddress(image) })
      } catch (error) {
        setTrouble(failureText(error))
      }
    }
    if (photos.length + added.length > MOST) setTrouble(`An entry has room for ${MOST} photos.`)
    onChange([...photos, ...added].slice(0, MOST))
  }

  return (
    <div class="new-photos">
      <Picker label="Take a photo" isCamera onFiles={add} />
      <Picker label="Choose a picture" isCamera={false} onFiles={add} />
      {photos.length > 0 && (
        <ul class="photos">
          {photos.map((photo, i) => (
            <li key={photo.address}>
              <img src={photo.address} alt={`New, number ${i + 1}`} width={72} height={72} />
              <button type="button" class="plain" onClick={() => onChange(photos.filter((p) => p !== photo))}>
                Not this one<span class="unseen">, number {i + 1}</span>
              </button>
            </li>
          ))}
        </ul>
      )}
      {trouble !== null && (
        <p class="problem" role="alert">
          {trouble}
        </p>
      )}
    </div>
  )
}
