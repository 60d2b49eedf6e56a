/** What cameras write into photos does not stay; the picture does, byte by byte, and which way up it is. */
import { crc32 } from 'node:zlib'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { withoutMetadata } from '../../hub/api/photo-metadata.js'

const latin1 = (text: string): Buffer => Buffer.from(text, 'latin1')
const PLACE = 'GPS 55.7 N 12.5 E'

/** as a phone writes it: which way up, and where; little-endian as most, or big-endian */
function exif(orientation: number, isLittle = true): Buffer {
  const tiff = Buffer.alloc(60)
  const short = (value: number, at: number) =>
    isLittle ? tiff.writeUInt16LE(value, at) : tiff.writeUInt16BE(value, at)
  const long = (value: number, at: number) =>
    isLittle ? tiff.writeUInt32LE(value, at) : tiff.writeUInt32BE(value, at)
  tiff.write(isLittle ? 'II' : 'MM', 'latin1')
  short(42, 2)
  long(8, 4)
  short(2, 8)
  // GPS, then orientation
  for (const [i, [tag, type, value]] of [
    [0x8825, 4, 40],
    [0x0112, 3, orientation],
  ].entries()) {
    const at = 10 + i * 12
    short(tag!, at)
    short(type!, at + 2)
    long(1, at + 4)
    if (type === 3) short(value!, at + 8)
    else long(value!, at + 8)
  }
  return Buffer.concat([tiff, latin1(PLACE)])
}

describe('a JPEG', () => {
  const segment = (marker: number, data: Buffer): Buffer => {
    const head = Buffer.from([0xff, marker, 0, 0])
    head.writeUInt16BE(2 + data.length, 2)
    return Buffer.concat([head, data])
  }
  const START = Buffer.from([0xff, 0xd8])
  const JFIF = segment(0xe0, latin1('JFIF\0\x01\x02\0\0\x01\0\x01\0\0'))
  const COLOURS = segment(0xe2, latin1('ICC_PROFILE\0\x01\x01 a profile'))
  const ADOBE = segment(0xee, latin1('Adobe\0\x64\0\0\0\0\x01'))
  // two scans, with a stuffed 0xff and a restart marker in the coded data
  const PICTURE = Buffer.concat([
    segment(0xdb, Buffer.alloc(65, 1)),
    segment(0xc2, latin1('\x08\0\x10\0\x10\x01\x01\x11\0')),
    segment(0xda, latin1('\x01\x01\0\0\0\0')),
    Buffer.from([1, 2, 0xff, 0, 3, 0xff, 0xd0, 4]),
    segment(0xc4, Buffer.alloc(20, 2)),
    segment(0xda, latin1('\x01\x01\0\0\0\0')),
    Buffer.from([5, 6, 0xff, 0]),
    Buffer.from([0xff, 0xd9]),
  ])
  const turned = (orientation: number): Buffer =>
    segment(
      0xe1,
      latin1(
        `Exif\0\0MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0${String.fromCharCode(orientation)}\0\0\0\0\0\0`,
      ),
    )

  it.each([true, false])('loses place, camera and small pictures, not colours nor its way up', (isLittle) => {
    const sent = Buffer.concat([
      START,
      JFIF,
      segment(0xe1, Buffer.concat([latin1('Exif\0\0'), exif(6, isLittle)])),
      segment(0xe1, latin1(`http://ns.adobe.com/xap/1.0/\0${PLACE}`)),
      COLOURS,
      segment(0xe2, latin1(`MPF\0${PLACE}`)),
      segment(0xed, latin1(`Photoshop 3.0\0${PLACE}`)),
      ADOBE,
      segment(0xfe, latin1(PLACE)),
      PICTURE,
      latin1(`a film behind the picture ${PLACE}`),
    ])
    expect(withoutMetadata(sent, 'image/jpeg')).toEqual(
      Buffer.concat([START, JFIF, turned(6), COLOURS, ADOBE, PICTURE]),
    )
  })

  it('that is upright, or has nothing beside it, needs no word of it', () => {
    const plain = Buffer.concat([START, JFIF, PICTURE])
    expect(withoutMetadata(plain, 'image/jpeg')).toEqual(plain)
    for (const orientation of [1, 0, 9, 77]) {
      const app1 = segment(0xe1, Buffer.concat([latin1('Exif\0\0'), exif(orientation)]))
      expect(withoutMetadata(Buffer.concat([START, app1, PICTURE]), 'image/jpeg')).toEqual(
        Buffer.concat([START, PICTURE]),
      )
    }
  })
})

describe('a PNG', () => {
  const SIGNATURE = latin1('\x89PNG\r\n\x1a\n')
  const chunk = (type: string, data: Buffer): Buffer => {
    const ends = Buffer.alloc(8)
    ends.writeUInt32BE(data.length)
    const named = Buffer.concat([latin1(type), data])
    ends.writeUInt32BE(crc32(named), 4)
    return Buffer.concat([ends.subarray(0, 4), named, ends.subarray(4)])
  }
  it('loses texts, time and place, not colours nor its way up', () => {
    const [head, colours, data, end] = [
      chunk('IHDR', Buffer.alloc(13, 1)),
      chunk('gAMA', Buffer.alloc(4, 1)),
      chunk('IDAT', Buffer.alloc(50, 7)),
      chunk('IEND', Buffer.alloc(0)),
    ]
    const sent = [SIGNATURE, head, chunk('tEXt', latin1(`Comment\0${PLACE}`)), chunk('tIME', Buffer.alloc(7))]
    sent.push(chunk('eXIf', exif(3)), colours, chunk('iTXt', latin1(PLACE)), data, end, latin1(PLACE))
    const clean = withoutMetadata(Buffer.concat(sent), 'image/png')
    expect(clean.includes(PLACE)).toBe(false)
    const turned = chunk('eXIf', latin1('MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x03\0\0\0\0\0\0'))
    expect(clean).toEqual(Buffer.concat([SIGNATURE, head, turned, colours, data, end]))
  })
})

describe('a WebP', () => {
  const chunk = (type: string, data: Buffer): Buffer => {
    const head = Buffer.alloc(8)
    head.write(type, 'latin1')
    head.writeUInt32LE(data.length, 4)
    return Buffer.concat([head, data, Buffer.alloc(data.length % 2)])
  }
  const webp = (...chunks: Buffer[]): Buffer => {
    const body = Buffer.concat([latin1('WEBP'), ...chunks])
    const head = latin1('RIFF\0\0\0\0')
    head.writeUInt32LE(body.length, 4)
    return Buffer.concat([head, body])
  }
  const extended = (flags: number): Buffer => chunk('VP8X', Buffer.from([flags, 0, 0, 0, 15, 0, 0, 15, 0, 0]))
  const ICC = 0x20
  const PICTURE = [chunk('ICCP', latin1('a profile')), chunk('VP8 ', Buffer.alloc(33, 5))]

  it.each([
    [8, [chunk('EXIF', latin1('MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x08\0\0\0\0\0\0'))], 0x08],
    [1, [], 0],
  ])('loses place and camera; turned by %i it stays so', (orientation, turned, flag) => {
    const sent = webp(
      extended(ICC | 0x0c),
      ...PICTURE,
      chunk('EXIF', Buffer.concat([latin1('Exif\0\0'), exif(orientation)])),
      chunk('XMP ', latin1(PLACE)),
    )
    expect(withoutMetadata(Buffer.concat([sent, latin1(PLACE)]), 'image/webp')).toEqual(
      webp(extended(ICC | flag), ...PICTURE, ...turned),
    )
  })

  it('that has nothing beside the picture is as it was', () => {
    const plain = webp(chunk('VP8L', Buffer.alloc(21, 3)))
    expect(withoutMetadata(plain, 'image/webp')).toEqual(plain)
  })
})

describe('whatever comes', () => {
  it.each([
    ['image/jpeg', Buffer.from([0xff, 0xd8, 0xff])],
    ['image/png', latin1('\x89PNG\r\n\x1a\n')],
    ['image/webp', latin1('RIFF\x50\0\0\0WEBP')],
  ] as const)(
    'as %s is cleaned without failing, and cleaned again stays as it is',
    (mediaType, signature) => {
      const piece = fc.oneof(
        fc.uint8Array({ maxLength: 40 }),
        fc.constantFrom(
          Buffer.from([0xff, 0xe1, 0, 80]),
          latin1('Exif\0\0II\x2a\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0\x06\0\0\0'),
          Buffer.from([0xff, 0xda, 0, 2]),
          Buffer.from([0xff, 0xd9]),
          latin1('\0\0\0\x04eXIf'),
          latin1('EXIF\x10\0\0\0'),
        ),
      )
      fc.assert(
        fc.property(fc.array(piece, { maxLength: 6 }), (pieces) => {
          const clean = withoutMetadata(Buffer.concat([signature, ...pieces]), mediaType)
          expect(withoutMetadata(clean, mediaType)).toEqual(clean)
        }),
        { numRuns: 2_000 },
      )
    },
  )
})
