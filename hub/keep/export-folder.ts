/**
 * An export as a folder: garden.json, readings.csv, days.csv, and SHA256SUMS by which a damaged one is told (the form that
 * `sha256sum -c` reads). It gets its name when it is whole, so that one broken off is never taken for one.
 */
import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { access, mkdir, open, readdir, readFile, rename, rm } from 'node:fs/promises'
import { join, resolve } from 'node:path'
import { KeepError } from './port.js'

export const EXPORT_FILES = ['garden.json', 'readings.csv', 'days.csv'] as const
export type ExportFile = (typeof EXPORT_FILES)[number]
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
  const unfinished = `${target}.unfinished-${process.pid}`
  await mkdir(unfinished, { recursive: true, mode: 0o700 })
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
      await file.write(some)
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
  for (const file of ['garden.json', 'readings.csv']) {
    try {
      await access(path(file))
    } catch (cause) {
      throw new KeepError(`${dir} is no export: there is no ${file} in it.`, [], { cause })
    }
  }
  for (const [file, digest] of await sumsIn(path(SUMS))) {
    if (file === 'days.csv') continue
    if ((await digestOf(path(file))) === digest) continue
    throw new KeepError(
      `${path(file)} is not as it was written (its SHA-256 differs). If you changed it on purpose, delete ${SUMS} beside it.`,
    )
  }
  return { read: (file) => createReadStream(path(file)) }
}

async function sumsIn(path: string): Promise<[file: ExportFile, digest: string][]> {
  let text: string
  try {
    text = await readFile(path, 'utf8')
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return []
    throw error
  }
  return EXPORT_FILES.flatMap((file) => {
    const digest = new RegExp(`^([0-9a-f]{64}) [ *]${file}$`, 'm').exec(text)?.[1]
    return digest === undefined ? [] : [[file, digest] satisfies [ExportFile, string]]
  })
}

async function digestOf(path: string): Promise<string> {
  const hash = createHash('sha256')
  for await (const some of createReadStream(path)) hash.update(some)
  return hash.digest('hex')
}
