/** What an image is, by its first bytes. */

export const MEDIA_TYPES = ['image/jpeg', 'image/png', 'image/webp'] as const
export type MediaType = (typeof MEDIA_TYPES)[number]

/** PNG specification (third edition) §5.2 */
const PNG = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]
/** start of image, then another marker: ITU-T T.81 B.1.1.3 */
const JPEG = [0xff, 0xd8, 0xff]
/** 'RIFF', a size, 'WEBP': RFC 9649 §2.4 */
const RIFF = [0x52, 0x49, 0x46, 0x46]
const WEBP = [0x57, 0x45, 0x42, 0x50]
const WEBP_AT = 8

/** null: none of those that the journal keeps */
export function mediaTypeOf(bytes: Uint8Array): MediaType | null {
  if (has(bytes, JPEG, 0)) return 'image/jpeg'
  if (has(bytes, PNG, 0)) return 'image/png'
  return has(bytes, RIFF, 0) && has(bytes, WEBP, WEBP_AT) ? 'image/webp' : null
}

const has = (bytes: Uint8Array, signature: readonly number[], at: number): boolean =>
  signature.every((byte, i) => bytes[at + i] === byte)
