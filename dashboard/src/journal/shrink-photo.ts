/** A photo made small enough for a garden's network before it is kept or sent: JPEG, at most 1600 px on its long side. */

const MOST_PX = 1600
const QUALITY = 0.82

/** The file is no picture that this browser can read. */
export class UnreadablePhoto extends Error {
  constructor() {
    super('This browser cannot read the picture. Take it as JPEG or PNG.')
  }
}

async function pictureOf(file: Blob): Promise<ImageBitmap> {
  try {
    return await createImageBitmap(file, { imageOrientation: 'from-image' })
  } catch {
    // no picture, or of a kind unknown here: the message says what to do
    throw new UnreadablePhoto()
  }
}

/** @throws UnreadablePhoto */
export async function shrinkPhoto(file: Blob): Promise<Uint8Array> {
  const picture = await pictureOf(file)
  const scale = Math.min(1, MOST_PX / Math.max(picture.width, picture.height))
  const canvas = document.createElement('canvas')
  canvas.width = Math.max(1, Math.round(picture.width * scale))
  canvas.height = Math.max(1, Math.round(picture.height * scale))
  const context = canvas.getContext('2d')
  if (context === null) throw new UnreadablePhoto()
  // JPEG knows no transparency
  context.fillStyle = '#ffffff'
  context.fillRect(0, 0, canvas.width, canvas.height)
  context.drawImage(picture, 0, 0, canvas.width, canvas.height)
  picture.close()
  const small = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, 'image/jpeg', QUALITY))
  if (small === null) throw new UnreadablePhoto()
  return new Uint8Array(await small.arrayBuffer())
}

/** As the page's policy lets an image element show it: a data: address. */
export function dataAddress(image: Uint8Array): Promise<string> {
  return new Promise((resolve, reject) => {
    const reader = new FileReader()
    reader.onload = () => resolve(String(reader.result))
    reader.onerror = () => reject(reader.error ?? new Error('the picture cannot be read'))
    reader.readAsDataURL(new Blob([new Uint8Array(image)], { type: 'image/jpeg' }))
  })
}
