/**
 * The doors' records as the hub has them at hand: read into memory once, read anew after each change, also one
 * made by the command line (noticed within a second). So that a sign-in never waits for the disk to answer whose
 * session it is, and whatever is revoked is revoked at once.
 */
import type { DoorRecords, DoorSnapshot } from './port.js'

const LOOK_EVERY_MS = 1_000
/** Signs of life are written down this often: a disk write for every click would wear out a card. */
const WRITE_SEEN_EVERY_MS = 60_000
/** a session that nobody has used for so long has ended */
export const IDLE_MS = 14 * 24 * 60 * 60_000

export interface DoorBook {
  readonly snapshot: DoorSnapshot
  readonly sessionByDigest: ReadonlyMap<string, DoorSnapshot['sessions'][number]>
  readonly tokenByDigest: ReadonlyMap<string, DoorSnapshot['tokens'][number]>
  readonly tokenIds: ReadonlySet<string>
  /** by `garden/node` */
  readonly credentialByNode: ReadonlyMap<string, DoorSnapshot['nodeCredentials'][number]>
  seenAtMs(session: string): number
  noteSeen(session: string): void
  isAlive(session: string): boolean
  /** Makes a change and reads anew; resolves when what it revoked is revoked. */
  change<T>(make: (records: DoorRecords) => Promise<T>): Promise<T>
  onChange(listener: () => void): () => void
  close(): Promise<void>
}

/**
 * @param now      UTC ms
 * @param onTrouble  told when the records could not be read or written; what is at hand goes on to hold
 * @param onTick   called each second, for what else runs out
 */
export async function openDoorBook(
  records: DoorRecords,
  now: () => number,
  onTrouble: (error: unknown) => void,
  onTick: () => void,
): Promise<DoorBook> {
  const listeners = new Set<() => void>()
  const lastSeenMs = new Map<string, number>()
  const unwritten = new Set<string>()
  let version = await records.doorsVersion()
  let held = holding(await records.readDoors())
  let wroteSeenMs = now()
  let isLooking = false

  const tell = (): void => {
    for (const listener of [...listeners]) listener()
  }
  const read = async (): Promise<void> => {
    held = holding(await records.readDoors())
    for (const id of lastSeenMs.keys()) if (!held.sessionById.has(id)) lastSeenMs.delete(id)
    tell()
  }
  const seenAtMs = (id: string): number =>
    Math.max(lastSeenMs.get(id) ?? 0, held.sessionById.get(id)?.seenAtMs ?? 0)
  const isAlive = (id: string): boolean => {
    const session = held.sessionById.get(id)
    return session !== undefined && now() < session.expiresAtMs && now() - seenAtMs(id) < IDLE_MS
  }
  const writeSeen = async (): Promise<void> => {
    wroteSeenMs = now()
    const seen = [...unwritten].map((id) => ({ id, seenAtMs: seenAtMs(id) }))
    unwritten.clear()
    if (seen.length > 0) await records.touchSessions(seen)
  }
  /** Throws out what has run out; listeners learn of it as of any change. */
  const clearOut = async (): Promise<void> => {
    const { sessions, links } = held.snapshot
    const overSessions = sessions.filter(({ id }) => !isAlive(id)).map(({ id }) => id)
    const overLinks = links.filter(({ expiresAtMs }) => expiresAtMs <= now()).map(({ id }) => id)
    if (overSessions.length + overLinks.length === 0) return
    await records.deleteSessions(overSessions)
    await records.deleteLinks(overLinks)
    await read()
  }
  const look = async (): Promise<void> => {
    if (isLooking) return
    isLooking = true
    try {
      const found = await records.doorsVersion()
      if (found !== version) {
        version = found
        await read()
      }
      if (now() - wroteSeenMs >= WRITE_SEEN_EVERY_MS) await writeSeen()
      await clearOut()
      onTick()
    } catch (error) {
      onTrouble(error)
    } finally {
      isLooking = false
    }
  }
  const timer = setInterval(() => void look(), LOOK_EVERY_MS)
  timer.unref()

  return {
    get snapshot() {
      return held.snapshot
    },
    get sessionByDigest() {
      return held.sessionByDigest
    },
    get tokenByDigest() {
      return held.tokenByDigest
    },
    get tokenIds() {
      return held.tokenIds
    },
    get credentialByNode() {
      return held.credentialByNode
    },
    seenAtMs,
    noteSeen(id) {
      lastSeenMs.set(id, now())
      unwritten.add(id)
    },
    isAlive,
    async change(make) {
      const result = await make(records)
      await read()
      return result
    },
    onChange(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    async close() {
      clearInterval(timer)
      await writeSeen()
    },
  }
}

function holding(snapshot: DoorSnapshot) {
  return {
    snapshot,
    sessionById: new Map(snapshot.sessions.map((session) => [session.id, session])),
    sessionByDigest: new Map(snapshot.sessions.map((session) => [session.digest, session])),
    tokenByDigest: new Map(snapshot.tokens.map((token) => [token.digest, token])),
    tokenIds: new Set(snapshot.tokens.map(({ id }) => id)),
    credentialByNode: new Map(
      snapshot.nodeCredentials.map((credential) => [`${credential.garden}/${credential.node}`, credential]),
    ),
  }
}
