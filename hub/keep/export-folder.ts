/**
 * An export as a folder: garden.json, readings.csv, days.csv, and SHA256SUMS by which a damaged one is told (the form that
 * `sha256sum -c` reads). It gets its name when it is whole, so that one broken off is never taken for one.
 */
import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { access, mkdir, open, readdir, readFile, rename, rm } from 'node:fs/promises'
import { dirname, join, resolve } from 'node:path'
import { KeepError } from './port.js'
import { digestOf, removeLeftovers, syncFolder, unfinishedName, writeAll } from './whole-file.js'

export const EXPORT_FILES = ['garden.json', 'readings.csv', 'days.csv'] as const
export type ExportFile = (typeof EXPORT_FILES)[number]
/** what an import takes; days are computed anew */
const READ_AGAIN = ['garden.json', 'readings.csv'] as const
const SUMS = 'SHA256SUMS'

export interface ExportProgress {
  readonly file: ExportFile
  readonly bytes: number
}

/** Where the pieces of each file come from: the parts of a hub, or a running one over HTTP. */
export type ExportSource = (file: ExportFile) => AsyncIterable<string | Uint8Array>

/**
 * @throws KeepError  the folder is there already and not empty
 * @returns bytes of each file
 */
export async function writeExportFolder(
  dir: string,
  source: ExportSource,
  onProgress: (progress: ExportProgress) => void = () => {},
): Promise<Record<string, number>> {
  const target = resolve(dir)
  if (!(await isFree(target))) {
    throw new KeepError(
      `${target} is there already and not empty: name a new folder, nothing is overwritten.`,
    )
  }
  await mkdir(dirname(target), { recursive: true })
  await removeLeftovers(target)
  const unfinished = unfinishedName(target)
  await mkdir(unfinished, { mode: 0o700 })
  try {
    const sizes: Record<string, number> = {}
    let sums = ''
    for (const file of EXPORT_FILES) {
      const { bytes, digest } = await writeFile(join(unfinished, file), source(file), (written) =>
        onProgress({ file, bytes: written }),
      )
      sizes[file] = bytes
      sums += `${digest}  ${file}\n`
    }
    await writeFile(join(unfinished, SUMS), [sums], () => {})
    // an empty folder gives way; one that filled meanwhile does not
    await rename(unfinished, target)
    await syncFolder(dirname(target))
    return sizes
  } catch (error) {
    await rm(unfinished, { recursive: true, force: true })
    throw error
  }
}

async function isFree(dir: string): Promise<boolean> {
  try {
    return (await readdir(dir)).length === 0
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return true
    throw error
  }
}

async function writeFile(
  path: string,
  pieces: AsyncIterable<string | Uint8Array> | Iterable<string>,
  onWritten: (bytes: number) => void,
): Promise<{ bytes: number; digest: string }> {
  const hash = createHash('sha256')
  const file = await open(path, 'wx', 0o600)
  let bytes = 0
  try {
    for await (const piece of pieces) {
      const some = typeof piece === 'string' ? Buffer.from(piece, 'utf8') : piece
      hash.update(some)
      await writeAll(file, some)
      bytes += some.byteLength
      onWritten(bytes)
    }
    await file.sync()
  } finally {
    await file.close()
  }
  return { bytes, digest: hash.digest('hex') }
}

/** The files of an export to be read, as often as need be. */
export interface ExportFolder {
  read(file: ExportFile): AsyncIterable<Uint8Array>
}

/** @throws KeepError  not an export, or not as it was written */
export async function openExportFolder(dir: string): Promise<ExportFolder> {
  const path = (file: string): string => join(resolve(dir), file)
  for (const file of READ_AGAIN) {
    try {
      await access(path(file))
    } catch (cause) {
      throw new KeepError(`${dir} is no export: there is no ${file} in it.`, [], { cause })
    }
  }
  const sums = await sumsIn(path(SUMS))
  for (const file of READ_AGAIN) {
    if (sums === null || (await digestOf(path(file))) === digestIn(sums, file)) continue
    throw new KeepError(
      `${path(file)} is not as it was written (its SHA-256 differs). If you changed it on purpose, delete ${SUMS} beside it.`,
    )
  }
  return { read: (file) => createReadStream(path(file)) }
}

/** null: there is none */
async function sumsIn(path: string): Promise<string | null> {
  try {
    return await readFile(path, 'utf8')
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return null
    throw error
  }
}

const digestIn = (sums: string, file: ExportFile): string | undefined =>
  new RegExp(`^([0-9a-f]{64}) [ *]${file}\\r?$`, 'm').exec(sums)?.[1]
