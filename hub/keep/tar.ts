/**
 * A tar file (POSIX.1-1988 ustar) of a few regular files: any tar program opens it. Sizes of 8 GiB and more are told in base
 * 256, as GNU tar and bsdtar write and read them.
 */
import { createReadStream } from 'node:fs'
import type { FileHandle } from 'node:fs/promises'
import { Readable } from 'node:stream'

const BLOCK = 512
const LARGEST_OCTAL = 8 ** 11
const ZERO = Buffer.alloc(BLOCK)

/** @throws RangeError  a name longer than the header has room for */
export function tarHeader(name: string, size: number, timeMs: number): Buffer {
  const header = Buffer.alloc(BLOCK)
  if (Buffer.byteLength(name) > 100) throw new RangeError(`too long a name for tar: ${name}`)
  header.write(name, 0)
  header.write('0000600\0', 100)
  header.write('0000000\0', 108)
  header.write('0000000\0', 116)
  if (size < LARGEST_OCTAL) header.write(`${size.toString(8).padStart(11, '0')}\0`, 124)
  else {
    header.writeUInt8(0x80, 124)
    header.writeBigUInt64BE(BigInt(size), 128)
  }
  header.write(
    `${Math.floor(timeMs / 1000)
      .toString(8)
      .padStart(11, '0')}\0`,
    136,
  )
  header.write('0', 156)
  header.write('ustar\0', 257)
  header.write('00', 263)
  header.write(`${checksum(header).toString(8).padStart(6, '0')}\0 `, 148)
  return header
}

/** of all bytes, those of the checksum itself taken for blanks */
function checksum(header: Buffer): number {
  let sum = 0
  for (let i = 0; i < BLOCK; i++) sum += i >= 148 && i < 156 ? 0x20 : (header[i] ?? 0)
  return sum
}

/** zeros up to the next whole block */
export const tarPadding = (size: number): Buffer => ZERO.subarray(0, (BLOCK - (size % BLOCK)) % BLOCK)

export const TAR_END = Buffer.alloc(2 * BLOCK)

export interface TarEntry {
  readonly name: string
  readonly size: number
  /** byte of the file at which its content begins */
  readonly at: number
}

/**
 * The files in a tar, in their order.
 *
 * @throws Error  not a tar, damaged, or without its end: cut off
 */
export async function tarEntries(file: FileHandle): Promise<TarEntry[]> {
  const { size: total } = await file.stat()
  const entries: TarEntry[] = []
  const header = Buffer.alloc(BLOCK)
  for (let at = 0; ; ) {
    const { bytesRead } = await file.read(header, 0, BLOCK, at)
    if (bytesRead < BLOCK) throw new Error('it ends before its end: it was cut off')
    if (header.equals(ZERO)) return entries
    const told = Number.parseInt(header.toString('latin1', 148, 156), 8)
    if (told !== checksum(header)) throw new Error(`it is no backup, or damaged (block ${at / BLOCK})`)
    const size =
      header[124] === 0x80
        ? Number(header.readBigUInt64BE(128))
        : Number.parseInt(header.toString('latin1', 124, 136), 8)
    const name = header.toString('utf8', 0, 100).replace(/\0.*$/s, '')
    at += BLOCK
    if (!Number.isSafeInteger(size) || size < 0 || at + size > total)
      throw new Error(`it ends within ${name}: it was cut off`)
    entries.push({ name, size, at })
    at += size + tarPadding(size).length
  }
}

export const entryStream = (path: string, { at, size }: TarEntry): Readable =>
  size === 0 ? Readable.from([]) : createReadStream(path, { start: at, end: at + size - 1 })
