/** A backup back into a data folder that no hub runs on: verified whole before anything is put in its place. */
import { createHash } from 'node:crypto'
import { createWriteStream, existsSync } from 'node:fs'
import { mkdir, open, readdir, rename, rm } from 'node:fs/promises'
import { join } from 'node:path'
import { Transform } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import Database from 'better-sqlite3'
import { BACKUP_VERSION, DATABASES, MANIFEST, Manifest } from './backup.js'
import { KeepError } from './port.js'
import { entryStream, type TarEntry, tarEntries } from './tar.js'
import { syncFolder } from './whole-file.js'

/** with what SQLite keeps beside them: a log that was left alone would be taken for the restored database's own */
const FILES = DATABASES.flatMap((name) => ['', '-wal', '-shm', '-journal'].map((end) => `${name}${end}`))
const LARGEST_MANIFEST = 65_536

export interface Restored {
  readonly manifest: Manifest
  /** where the data that was there has been put; null: there was none */
  readonly putAside: string | null
}

export interface RestoreOptions {
  /** put what is there aside instead of refusing */
  readonly replace: boolean
  /** newest version of each database's tables that this program knows */
  readonly knownVersions: Readonly<Record<(typeof DATABASES)[number], number>>
  readonly now?: () => number
  readonly onProgress?: (progress: { readonly file: string; readonly part: number }) => void
}

/**
 * @param dir  data folder, claimed by the caller
 * @throws KeepError  not a whole backup, of a newer version, or there is data already; nothing was changed
 */
export async function restoreBackup(file: string, dir: string, options: RestoreOptions): Promise<Restored> {
  const { now = Date.now, onProgress = () => {} } = options
  const present = FILES.filter((name) => existsSync(join(dir, name)))
  if (present.length > 0 && !options.replace) {
    throw new KeepError(
      `There is data in ${dir} already. Restore into an empty folder (HEARTING_DATA_DIR), or say --replace: then it is put aside, not deleted.`,
    )
  }
  const { manifest, entries } = await contentsOf(file)
  for (const { name, userVersion } of manifest.files) {
    if (userVersion > options.knownVersions[name]) {
      throw new KeepError(`${name} in the backup was written by a newer hearting: update this one first.`)
    }
  }
  // the folder is claimed: what an earlier restore left was killed
  for (const name of await readdir(dir)) {
    if (name.startsWith('restoring-')) await rm(join(dir, name), { recursive: true, force: true })
  }
  const unpacked = join(dir, `restoring-${process.pid}`)
  await mkdir(unpacked, { mode: 0o700 })
  try {
    for (const expected of manifest.files) {
      const entry = entries.find(({ name }) => name === expected.name)
      if (!entry || entry.size !== expected.bytes) throw damaged(file, `${expected.name} is not whole`)
      const path = join(unpacked, expected.name)
      const digest = await unpack(file, entry, path, (part) => onProgress({ file: expected.name, part }))
      if (digest !== expected.sha256) throw damaged(file, `the checksum of ${expected.name} is wrong`)
      const fault = integrityFault(path)
      if (fault !== null) throw damaged(file, `${expected.name}: ${fault}`)
    }
    let putAside: string | null = null
    if (present.length > 0) {
      putAside = join(dir, `before-restore-${new Date(now()).toISOString().replaceAll(/[:.]/g, '-')}`)
      await mkdir(putAside, { mode: 0o700 })
      for (const name of present) await rename(join(dir, name), join(putAside, name))
    }
    for (const { name } of manifest.files) await rename(join(unpacked, name), join(dir, name))
    await syncFolder(dir)
    return { manifest, putAside }
  } finally {
    await rm(unpacked, { recursive: true, force: true })
  }
}

async function contentsOf(file: string): Promise<{ manifest: Manifest; entries: TarEntry[] }> {
  const handle = await open(file, 'r').catch((cause: unknown) => {
    throw new KeepError(`${file} cannot be read: ${cause instanceof Error ? cause.message : cause}`, [], {
      cause,
    })
  })
  try {
    const entries = await tarEntries(handle)
    const first = entries[0]
    if (first?.name !== MANIFEST || first.size > LARGEST_MANIFEST)
      throw damaged(file, 'it is no backup of hearting')
    const text = Buffer.alloc(first.size)
    await handle.read(text, 0, first.size, first.at)
    const json: unknown = JSON.parse(text.toString('utf8'))
    const version = typeof json === 'object' && json !== null && 'version' in json ? json.version : null
    if (typeof version === 'number' && version > BACKUP_VERSION) {
      throw new KeepError(
        `${file} has version ${version}, written by a newer hearting: update this one first.`,
      )
    }
    const manifest = Manifest.safeParse(json)
    if (!manifest.success) throw damaged(file, 'its manifest cannot be used')
    return { manifest: manifest.data, entries }
  } catch (error) {
    if (error instanceof KeepError) throw error
    throw damaged(file, error instanceof Error ? error.message : String(error))
  } finally {
    await handle.close()
  }
}

const damaged = (file: string, why: string): KeepError =>
  new KeepError(`${file} cannot be restored: ${why}. Nothing was changed; take another backup file.`)

async function unpack(
  file: string,
  entry: TarEntry,
  path: string,
  onPart: (part: number) => void,
): Promise<string> {
  const hash = createHash('sha256')
  let bytes = 0
  const counted = new Transform({
    transform(chunk: Buffer, _encoding, done) {
      hash.update(chunk)
      bytes += chunk.length
      onPart(bytes / entry.size)
      done(null, chunk)
    },
  })
  await pipeline(
    entryStream(file, entry),
    counted,
    createWriteStream(path, { flags: 'wx', mode: 0o600, flush: true }),
  )
  return hash.digest('hex')
}

function integrityFault(path: string): string | null {
  const db = new Database(path, { readonly: true, fileMustExist: true })
  try {
    const said = db.pragma('integrity_check(1)', { simple: true })
    return said === 'ok' ? null : `SQLite finds it damaged (${String(said).slice(0, 200)})`
  } catch (error) {
    return error instanceof Error ? error.message : String(error)
  } finally {
    db.close()
  }
}
