/**
 * Photos without what cameras write into them besides the picture: the place, the time, the camera, an older small picture.
 * Phones write where they are, and a photo goes to helpers and into exports. The picture itself is not touched; which way up it is
 * stays said, and so do its colours. What cannot be followed as its format is laid out is left as it is.
 */
import { crc32 } from 'node:zlib'
import type { MediaType } from './image-type.js'

export function withoutMetadata(image: Uint8Array, mediaType: MediaType): Buffer {
  const bytes = Buffer.from(image.buffer, image.byteOffset, image.byteLength)
  switch (mediaType) {
    case 'image/jpeg':
      return cleanJpeg(bytes)
    case 'image/png':
      return cleanPng(bytes)
    case 'image/webp':
      return cleanWebp(bytes)
  }
}

/** How a picture is to be turned, 1 to 8: tag 274 of Exif (CIPA DC-008). */
const ORIENTATION = 0x0112
const UPRIGHT = 1
const EXIF_NAME = Buffer.from('Exif\0\0', 'latin1')
/** 'MM', 42, the first directory at 8 with one entry: a short */
const TIFF_OF_ONE_SHORT = Buffer.from('4d4d002a00000008000101120003000000010000000000000000', 'hex')

/** Exif that says nothing but which way up; empty: upright, which needs no saying. */
function turned(exif: Buffer): Buffer {
  const orientation = orientationIn(exif)
  if (orientation === UPRIGHT) return Buffer.alloc(0)
  const tiff = Buffer.from(TIFF_OF_ONE_SHORT)
  tiff.writeUInt16BE(orientation, 18)
  return tiff
}

/** @param exif  a TIFF header and its directories */
function orientationIn(exif: Buffer): number {
  const isLittle = exif.toString('latin1', 0, 2) === 'II'
  const short = (at: number): number => (isLittle ? exif.readUInt16LE(at) : exif.readUInt16BE(at))
  const long = (at: number): number => (isLittle ? exif.readUInt32LE(at) : exif.readUInt32BE(at))
  if (exif.length < 14) return UPRIGHT
  const directory = long(4)
  for (let entry = 0; directory + 14 + entry * 12 <= exif.length; entry++) {
    if (entry >= short(directory)) return UPRIGHT
    const at = directory + 2 + entry * 12
    if (short(at) !== ORIENTATION) continue
    const value = short(at + 8)
    return value >= 1 && value <= 8 ? value : UPRIGHT
  }
  return UPRIGHT
}

/** ITU-T T.81 B.1.1.2: segments that begin with 0xff and a marker, and coded data after each start of scan. */
function cleanJpeg(jpeg: Buffer): Buffer {
  const kept = [jpeg.subarray(0, 2)]
  let at = 2
  while (jpeg[at] === 0xff && at + 4 <= jpeg.length) {
    const marker = jpeg.readUInt8(at + 1)
    // any number of 0xff may come before a marker
    if (marker === 0xff) {
      at++
      continue
    }
    // what lies behind the end of the image is none of this picture
    if (marker === 0xd9) return Buffer.concat([...kept, jpeg.subarray(at, at + 2)])
    let end = at + 2 + jpeg.readUInt16BE(at + 2)
    if (marker === 0xda) while (end < jpeg.length && !isMarkerAt(jpeg, end)) end++
    const segment = jpeg.subarray(at, end)
    if (!isMetadata(marker, segment)) kept.push(segment)
    else if (marker === 0xe1 && segment.indexOf(EXIF_NAME) === 4) kept.push(jpegExif(segment.subarray(10)))
    at = end
  }
  return Buffer.concat([...kept, jpeg.subarray(at)])
}

/** Application segments and comments, but for what decoders go by: JFIF, colour profile, Adobe's colour transform. */
function isMetadata(marker: number, segment: Buffer): boolean {
  if (marker === 0xfe) return true
  if (marker < 0xe0 || marker > 0xef) return false
  if (marker === 0xe2) return segment.indexOf('ICC_PROFILE\0', 'latin1') !== 4
  return marker !== 0xe0 && marker !== 0xee
}

/** In coded data a 0xff is followed by 0 or is a restart marker (B.1.1.5). */
const isMarkerAt = (jpeg: Buffer, at: number): boolean => {
  const next = jpeg[at + 1] ?? 0
  return jpeg[at] === 0xff && next !== 0 && next !== 0xff && (next < 0xd0 || next > 0xd7)
}

function jpegExif(exif: Buffer): Buffer {
  const tiff = turned(exif)
  if (tiff.length === 0) return tiff
  const head = Buffer.from([0xff, 0xe1, 0, 2 + EXIF_NAME.length + tiff.length])
  return Buffer.concat([head, EXIF_NAME, tiff])
}

const PNG_METADATA: ReadonlySet<string> = new Set(['eXIf', 'tEXt', 'zTXt', 'iTXt', 'tIME'])

/** PNG specification (third edition) §5.3: length, type, data, checksum. */
function cleanPng(png: Buffer): Buffer {
  const kept = [png.subarray(0, 8)]
  let at = 8
  while (at + 12 <= png.length) {
    const end = at + 12 + png.readUInt32BE(at)
    const type = png.toString('latin1', at + 4, at + 8)
    const chunk = png.subarray(at, end)
    if (!PNG_METADATA.has(type)) kept.push(chunk)
    else if (type === 'eXIf') kept.push(pngExif(chunk.subarray(8, -4)))
    if (type === 'IEND') return Buffer.concat(kept)
    at = end
  }
  return Buffer.concat([...kept, png.subarray(at)])
}

function pngExif(exif: Buffer): Buffer {
  const tiff = turned(exif)
  if (tiff.length === 0) return tiff
  const chunk = Buffer.concat([Buffer.alloc(4), Buffer.from('eXIf', 'latin1'), tiff, Buffer.alloc(4)])
  chunk.writeUInt32BE(tiff.length, 0)
  chunk.writeUInt32BE(crc32(chunk.subarray(4, -4)), chunk.length - 4)
  return chunk
}

/** of the extended header (RFC 9649 §2.7) */
const HAS_EXIF = 0x08
const METADATA = HAS_EXIF | 0x04

/** RFC 9649 §2.3: a type, a length, data, to an even number of bytes. */
function cleanWebp(webp: Buffer): Buffer {
  const kept: Buffer[] = []
  let metadata = 0
  let flags = 0
  let at = 12
  const riffEnd = Math.min(webp.length, 8 + webp.readUInt32LE(4))
  while (at + 8 <= riffEnd) {
    const type = webp.toString('latin1', at, at + 4)
    const size = webp.readUInt32LE(at + 4)
    const chunk = webp.subarray(at, at + 8 + size + (size % 2))
    at += chunk.length
    if (type !== 'XMP ' && type !== 'EXIF') {
      kept.push(chunk)
      continue
    }
    metadata++
    if (type === 'XMP ') continue
    const exif = chunk.subarray(chunk.indexOf(EXIF_NAME) === 8 ? 8 + EXIF_NAME.length : 8)
    const tiff = turned(exif)
    if (tiff.length === 0) continue
    flags = HAS_EXIF
    kept.push(webpChunk('EXIF', tiff))
  }
  kept.push(webp.subarray(at, riffEnd))
  if (metadata === 0) return webp.subarray(0, riffEnd)
  const clean = Buffer.concat([webp.subarray(0, 12), ...kept])
  clean.writeUInt32LE(clean.length - 8, 4)
  if (clean.toString('latin1', 12, 16) === 'VP8X')
    clean.writeUInt8((clean.readUInt8(20) & ~METADATA) | flags, 20)
  return clean
}

function webpChunk(type: string, data: Buffer): Buffer {
  const chunk = Buffer.alloc(8 + data.length + (data.length % 2))
  chunk.write(type, 'latin1')
  chunk.writeUInt32LE(data.length, 4)
  data.copy(chunk, 8)
  return chunk
}
