/** Files and folders that get their name when they are whole and on the disk, so that one broken off is never taken for one. */
import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { type FileHandle, open, readdir, rm } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { KeepError } from './port.js'

const unfinishedPrefix = (target: string): string => `${basename(target)}.unfinished-`

/** What it is called until then; beside it, so that giving it its name moves no bytes. */
export const unfinishedName = (target: string): string =>
  join(dirname(target), `${unfinishedPrefix(target)}${process.pid}`)

/**
 * Clears away what was left of earlier attempts at this target that were killed.
 *
 * @throws KeepError  there is no folder for it
 */
export async function removeLeftovers(target: string): Promise<void> {
  const dir = dirname(target)
  const names = await readdir(dir).catch((cause: unknown) => {
    throw new KeepError(`There is no folder ${dir}: make it first, or name another.`, [], { cause })
  })
  const prefix = unfinishedPrefix(target)
  for (const name of names) {
    const pid = name.startsWith(prefix) ? Number(name.slice(prefix.length)) : Number.NaN
    if (Number.isInteger(pid) && !isAnother(pid)) await rm(join(dir, name), { recursive: true, force: true })
  }
}

/** Is it another program that runs? In a container each has the same number: what bears our own was another's, and is over. */
function isAnother(pid: number): boolean {
  if (pid === process.pid) return false
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return !(error instanceof Error && 'code' in error && error.code === 'ESRCH')
  }
}

/** All of it, though the system takes it in parts. */
export async function writeAll(file: FileHandle, bytes: Uint8Array): Promise<void> {
  for (let at = 0; at < bytes.length; ) at += (await file.write(bytes, at)).bytesWritten
}

/** so that a new name outlives a power cut */
export async function syncFolder(dir: string): Promise<void> {
  const folder = await open(dir, 'r')
  try {
    await folder.sync()
  } finally {
    await folder.close()
  }
}

/** SHA-256 in hex. */
export async function digestOf(path: string): Promise<string> {
  const hash = createHash('sha256')
  for await (const some of createReadStream(path)) hash.update(some)
  return hash.digest('hex')
}
