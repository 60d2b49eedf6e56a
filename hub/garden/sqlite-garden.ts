/**
 * Garden data in SQLite (`<dataDir>/garden.sqlite`): the adapter of port.ts. The database lives in a worker
 * thread; here is only the door to it.
 */
import { join } from 'node:path'
import type { DoorRecords } from '../doors/port.js'
import { type SerialisedError, startRemote } from '../worker/remote.js'
import { GardenError, type GardenRepository } from './port.js'

/** Garden data, and what the doors keep beside it in the same file. */
export type GardenDatabase = GardenRepository & DoorRecords

/**
 * Opens (or makes) the garden database.
 *
 * @param dataDir  an existing folder
 * @param onCrash  told when the database's thread ends unasked; every later call then fails
 * @throws GardenError  GARDEN_UNAVAILABLE when the file cannot be opened, is damaged, or is from a newer hearting
 */
export async function openSqliteGarden(options: {
  readonly dataDir: string
  readonly onCrash?: (error: Error) => void
}): Promise<GardenDatabase> {
  const path = join(options.dataDir, 'garden.sqlite')
  let opened = false
  const handle = startRemote<GardenDatabase>(
    new URL('./sqlite-garden-worker.js', import.meta.url),
    { path },
    revive,
    (error) => {
      if (opened) options.onCrash?.(error)
    },
  )
  const { remote } = handle
  try {
    await remote.listGardens()
  } catch (cause) {
    await handle.terminate()
    throw unavailable(`Cannot open the garden data in ${path}`, cause)
  }
  opened = true

  let closing: Promise<void> | null = null
  const closeOnce = async (): Promise<void> => {
    await remote.close()
    await handle.terminate()
  }
  const close = (): Promise<void> => {
    closing ??= closeOnce()
    return closing
  }
  return new Proxy(remote, {
    get(target, method, receiver) {
      if (method === 'close') return close
      const call = Reflect.get(target, method, receiver) as
        | ((...args: unknown[]) => Promise<unknown>)
        | undefined
      if (!call) return undefined
      return (...args: unknown[]) =>
        call(...args).catch((error: unknown) => {
          throw error instanceof GardenError ? error : unavailable('The garden data cannot be used', error)
        })
    },
  })
}

const unavailable = (what: string, cause: unknown): GardenError =>
  new GardenError(
    'GARDEN_UNAVAILABLE',
    `${what}: ${cause instanceof Error ? cause.message : String(cause)}`,
    null,
    { cause },
  )

const GARDEN_CODES: ReadonlySet<string> = new Set<GardenError['code']>([
  'UNKNOWN_GARDEN',
  'UNKNOWN_BED',
  'UNKNOWN_NODE',
  'UNKNOWN_PLANTING',
  'OVERLAP',
  'OUT_OF_ORDER',
  'STILL_USED',
  'ID_TAKEN',
  'TOO_MANY_PHOTOS',
])
const isGardenCode = (code: string | null): code is GardenError['code'] =>
  code !== null && GARDEN_CODES.has(code)

function revive({ name, message, code, field }: SerialisedError): Error {
  if (name === 'GardenError' && isGardenCode(code)) return new GardenError(code, message, field)
  const error = new Error(message)
  error.name = name
  return Object.assign(error, { code })
}
