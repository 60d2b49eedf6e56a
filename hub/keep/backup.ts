/**
 * A backup: consistent copies of the data folder's databases in one file, taken while the hub runs. It holds what opens the
 * hub as well (digests of passphrase, tokens and nodes' passwords): keep it as safe as the hub.
 *
 * Each copy is made within one read transaction of SQLite's write-ahead log, so that it is of one moment however much is written
 * meanwhile. What the copies of two databases may disagree about is only what is computed from readings: it is left out.
 */
import { randomUUID } from 'node:crypto'
import { createReadStream, existsSync, statSync } from 'node:fs'
import { mkdir, open, rename, rm, unlink } from 'node:fs/promises'
import { dirname, join, resolve } from 'node:path'
import Database from 'better-sqlite3'
import { z } from 'zod'
import { KeepError } from './port.js'
import { TAR_END, tarHeader, tarPadding } from './tar.js'
import { digestOf, removeLeftovers, syncFolder, unfinishedName, writeAll } from './whole-file.js'

export const BACKUP_FORMAT = 'hearting backup'
export const BACKUP_VERSION = 1
export const MANIFEST = 'manifest.json'
export const DATABASES = ['garden.sqlite', 'readings.sqlite', 'spool.sqlite'] as const

/** caches, by database: made again from the readings */
const CACHES: Readonly<Record<string, readonly string[]>> = {
  'garden.sqlite': ['day_records', 'learned_sun'],
}
const PAGES_A_STEP = 1_000

export const Manifest = z.strictObject({
  format: z.literal(BACKUP_FORMAT),
  version: z.int().positive(),
  madeAt: z.iso.datetime(),
  files: z.array(
    z.strictObject({
      name: z.enum(DATABASES),
      bytes: z.int().nonnegative(),
      sha256: z.string().regex(/^[0-9a-f]{64}$/),
      /** version of its tables */
      userVersion: z.int(),
    }),
  ),
})
export type Manifest = z.infer<typeof Manifest>

export interface BackupProgress {
  readonly file: string
  readonly phase: 'copying' | 'writing'
  /** 0 to 1 */
  readonly part: number
}

/**
 * @param file  gets its name when it is whole
 * @throws KeepError  nothing to back up, or the file is there already
 */
export async function makeBackup(
  dataDir: string,
  file: string,
  options: { readonly now?: () => number; readonly onProgress?: (progress: BackupProgress) => void } = {},
): Promise<Manifest> {
  const { now = Date.now, onProgress = () => {} } = options
  const target = resolve(file)
  const sources = DATABASES.filter((name) => existsSync(join(dataDir, name)))
  if (!sources.includes('garden.sqlite')) {
    throw new KeepError(`There is no hub's data in ${resolve(dataDir)}: name its folder (HEARTING_DATA_DIR).`)
  }
  if (existsSync(target))
    throw new KeepError(`${target} is there already: name a new file, nothing is overwritten.`)
  await removeLeftovers(target)
  const workDir = unfinishedName(target)
  await mkdir(workDir, { mode: 0o700 })
  try {
    const manifest: Manifest = {
      format: BACKUP_FORMAT,
      version: BACKUP_VERSION,
      madeAt: new Date(now()).toISOString(),
      files: [],
    }
    for (const name of sources) {
      const copy = join(workDir, name)
      const userVersion = await copyDatabase(join(dataDir, name), copy, CACHES[name] ?? [], (part) =>
        onProgress({ file: name, phase: 'copying', part }),
      )
      manifest.files.push({ name, bytes: statSync(copy).size, sha256: await digestOf(copy), userVersion })
    }
    const whole = join(workDir, randomUUID())
    await writeTar(whole, workDir, manifest, now(), onProgress)
    await rename(whole, target)
    await syncFolder(dirname(target))
    return manifest
  } finally {
    await rm(workDir, { recursive: true, force: true })
  }
}

/** @returns the version of its tables */
async function copyDatabase(
  source: string,
  copy: string,
  caches: readonly string[],
  onPart: (part: number) => void,
): Promise<number> {
  const db = new Database(source, { readonly: true, fileMustExist: true, timeout: 10_000 })
  try {
    // an open reading keeps the copy to one moment: without it, writing by the hub would begin the copy anew again and again
    db.exec('BEGIN')
    const userVersion = z.int().parse(db.pragma('user_version', { simple: true }))
    await db.backup(copy, {
      progress({ totalPages, remainingPages }) {
        if (totalPages > 0) onPart(1 - remainingPages / totalPages)
        return PAGES_A_STEP
      },
    })
    db.exec('COMMIT')
    const made = new Database(copy)
    try {
      // one file, without a log beside it
      made.pragma('journal_mode = DELETE')
      for (const table of caches) {
        // tables of an older hearting may lack it
        if (made.prepare("SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = ?").get(table))
          made.exec(`DELETE FROM ${table}`)
      }
      if (caches.length > 0) made.exec('VACUUM')
    } finally {
      made.close()
    }
    return userVersion
  } finally {
    db.close()
  }
}

async function writeTar(
  path: string,
  workDir: string,
  manifest: Manifest,
  timeMs: number,
  onProgress: (progress: BackupProgress) => void,
): Promise<void> {
  const file = await open(path, 'wx', 0o600)
  try {
    const text = Buffer.from(`${JSON.stringify(manifest, null, 2)}\n`, 'utf8')
    await writeAll(file, tarHeader(MANIFEST, text.length, timeMs))
    await writeAll(file, text)
    await writeAll(file, tarPadding(text.length))
    for (const { name, bytes } of manifest.files) {
      await writeAll(file, tarHeader(name, bytes, timeMs))
      let written = 0
      for await (const some of createReadStream(join(workDir, name), { highWaterMark: 1_048_576 })) {
        await writeAll(file, some)
        written += some.length
        onProgress({ file: name, phase: 'writing', part: written / bytes })
      }
      await writeAll(file, tarPadding(bytes))
      // its room on the disk is wanted for the next
      await unlink(join(workDir, name))
    }
    await writeAll(file, TAR_END)
    await file.sync()
  } finally {
    await file.close()
  }
}
