/** The doors of a hub, put together: owner, sessions, links, tokens and nodes over the records in the database. */
import { createAttemptGuard } from './attempt-guard.js'
import { type DoorBook, openDoorBook } from './door-book.js'
import { type MqttLogins, mqttLogins, type NodeTopics } from './mqtt-logins.js'
import { hashPassphrase, isPassphrase, requireStrong } from './passphrase.js'
import {
  type Caller,
  DoorError,
  type DoorRecords,
  type Doors,
  type NewSession,
  type SessionInfo,
  type Visitor,
} from './port.js'
import { digestOf, newId, newSecret } from './secrets.js'
import { createSetUpCode, type SetUpCode } from './set-up-code.js'

const DAY_MS = 24 * 60 * 60_000
/** a session ends after so long whatever happens; see IDLE_MS for one that nobody uses */
const SESSION_MS = 90 * DAY_MS
const MOST_DEVICE_CHARACTERS = 200
const MOST_LINKS = 100
const MOST_SESSIONS = 500
const MOST_NODE_CREDENTIALS = 5_000
/** argon2 takes 19 MiB and a core for each: so many at once, whoever asks */
const MOST_HASHING = 2

export interface DoorsOptions {
  readonly records: DoorRecords
  /** UTC ms */
  readonly now: () => number
  readonly topics: NodeTopics
  /** shows the set-up code on the hub's console; again when another takes its place */
  readonly onSetUpCode: (code: string, goodUntilMs: number) => void
  readonly onTrouble: (error: unknown) => void
}

export interface OpenDoors extends Doors, MqttLogins {
  close(): Promise<void>
}

/** Reads the records; without an owner among them it draws a set-up code. */
export async function openDoors(options: DoorsOptions): Promise<OpenDoors> {
  const { records, now } = options
  const guard = createAttemptGuard(now)
  let setUpCode: SetUpCode | null = null
  let isClosed = false
  let hashing = 0

  const hasOwner = (): boolean => book.snapshot.passphraseHash !== null
  /** Without an owner there is a code; with one there is none. */
  const keepCode = (): void => {
    if (isClosed) return
    if (hasOwner()) setUpCode = null
    else if (setUpCode) setUpCode.renewWhenDue()
    else setUpCode = createSetUpCode(now, options.onSetUpCode)
  }
  const book: DoorBook = await openDoorBook(records, now, options.onTrouble, keepCode)
  book.onChange(keepCode)
  keepCode()

  /** @throws DoorError TOO_MANY_ATTEMPTS */
  async function slowly<T>(work: () => Promise<T>): Promise<T> {
    if (hashing >= MOST_HASHING) {
      throw new DoorError(
        'TOO_MANY_ATTEMPTS',
        'others are signing in just now; try again in a moment',
        null,
        1,
      )
    }
    hashing++
    try {
      return await work()
    } finally {
      hashing--
    }
  }

  /** @throws DoorError SET_UP_FIRST, WRONG_PASSPHRASE, TOO_MANY_ATTEMPTS */
  async function requirePassphrase(passphrase: string, { address }: Caller): Promise<void> {
    const { passphraseHash } = book.snapshot
    if (passphraseHash === null) throw new DoorError('SET_UP_FIRST', 'this hub has no owner yet')
    const isRight = await slowly(async () => {
      const succeeded = guard.attempt(address)
      const right = await isPassphrase(passphrase, passphraseHash)
      if (right) succeeded()
      return right
    })
    if (!isRight) throw new DoorError('WRONG_PASSPHRASE', 'that is not the passphrase', 'passphrase')
  }

  async function begin(link: string | null, caller: Caller, lastMs: number): Promise<NewSession> {
    const secret = newSecret()
    const session: SessionInfo = {
      id: newId(),
      link,
      device: caller.device.slice(0, MOST_DEVICE_CHARACTERS),
      createdAtMs: now(),
      seenAtMs: now(),
      expiresAtMs: Math.min(now() + SESSION_MS, lastMs),
    }
    // a link handed round widely must not fill the disk: the longest unused makes room
    const alike = book.snapshot.sessions.filter((other) => (other.link === null) === (link === null))
    const spare = [...alike]
      .sort((a, b) => book.seenAtMs(a.id) - book.seenAtMs(b.id))
      .slice(0, Math.max(0, alike.length - MOST_SESSIONS + 1))
    await book.change(async (kept) => {
      await kept.deleteSessions(spare.map(({ id }) => id))
      await kept.addSession({ ...session, digest: digestOf(secret) })
    })
    return { visitor: visitorOf(session), secret, expiresAtMs: session.expiresAtMs }
  }

  return {
    hasOwner,
    cookieKey: book.snapshot.cookieKey,
    cookieName: `hearting-${digestOf(book.snapshot.cookieKey).slice(0, 8)}`,

    bySession(secret) {
      const session = book.sessionByDigest.get(digestOf(secret))
      if (session === undefined || !book.isAlive(session.id)) return null
      book.noteSeen(session.id)
      return visitorOf(session)
    },
    byToken(secret) {
      const token = book.tokenByDigest.get(digestOf(secret))
      return token === undefined
        ? null
        : { role: 'token', token: token.id, mayWrite: token.scope === 'write' }
    },
    isCurrent: (visitor) =>
      visitor.role === 'token' ? book.tokenIds.has(visitor.token) : book.isAlive(visitor.session),
    onChange: (listener) => book.onChange(listener),

    async setUp(code, passphrase, caller) {
      if (setUpCode === null) throw new DoorError('ALREADY_SET_UP', 'this hub has an owner already')
      requireStrong(passphrase, 'passphrase')
      await slowly(async () => {
        const succeeded = guard.attempt(caller.address)
        if (!setUpCode?.isRight(code)) {
          throw new DoorError(
            'WRONG_CODE',
            'that is not the code which the hub shows on its console; the newest one there counts',
            'code',
          )
        }
        succeeded()
        const passphraseHash = await hashPassphrase(passphrase)
        if (!(await book.change((kept) => kept.claimOwner(passphraseHash, now())))) {
          throw new DoorError('ALREADY_SET_UP', 'somebody else has just become the owner of this hub')
        }
      })
      return begin(null, caller, Number.POSITIVE_INFINITY)
    },

    async signIn(passphrase, caller) {
      await requirePassphrase(passphrase, caller)
      return begin(null, caller, Number.POSITIVE_INFINITY)
    },

    async enterByLink(secret, caller) {
      const succeeded = guard.attempt(caller.address)
      const digest = digestOf(secret)
      const link = book.snapshot.links.find((known) => known.digest === digest)
      if (link === undefined || link.expiresAtMs <= now()) {
        throw new DoorError(
          'WRONG_LINK',
          'this link has run out or was taken back; ask its owner for another',
        )
      }
      succeeded()
      return begin(link.id, caller, link.expiresAtMs)
    },

    async changePassphrase(current, next, session, caller) {
      await requirePassphrase(current, caller)
      requireStrong(next, 'newPassphrase')
      const passphraseHash = await slowly(() => hashPassphrase(next))
      await book.change((kept) => kept.changeOwner(passphraseHash, now(), session))
    },

    sessions: () =>
      book.snapshot.sessions
        .filter(({ id }) => book.isAlive(id))
        .map(({ digest: _digest, ...session }) => ({ ...session, seenAtMs: book.seenAtMs(session.id) })),
    endSession: async (id) => (await book.change((kept) => kept.deleteSessions([id]))) === 1,

    links: () =>
      book.snapshot.links
        .filter(({ expiresAtMs }) => expiresAtMs > now())
        .map(({ digest: _digest, ...link }) => link),
    async addLink(name, days) {
      if (book.snapshot.links.length >= MOST_LINKS) {
        throw new DoorError('TOO_MANY_SECRETS', `there are ${MOST_LINKS} links already: take some back first`)
      }
      const secret = newSecret()
      const link = { id: newId(), name, createdAtMs: now(), expiresAtMs: now() + days * DAY_MS }
      await book.change((kept) => kept.addLink({ ...link, digest: digestOf(secret) }))
      return { link, secret }
    },
    revokeLink: async (id) => (await book.change((kept) => kept.deleteLinks([id]))) === 1,

    nodeCredentials: (garden) =>
      book.snapshot.nodeCredentials
        .filter((credential) => credential.garden === garden)
        .map(({ digest: _digest, ...credential }) => credential),
    async addNodeCredential(garden, node) {
      const known = book.credentialByNode
      if (known.size >= MOST_NODE_CREDENTIALS && !known.has(`${garden}/${node}`)) {
        throw new DoorError('TOO_MANY_SECRETS', `${MOST_NODE_CREDENTIALS} nodes may publish already`)
      }
      const password = newSecret()
      const credential = { garden, node, digest: digestOf(password), createdAtMs: now() }
      await book.change((kept) => kept.putNodeCredential(credential))
      return { username: `${garden}/${node}`, password }
    },
    revokeNodeCredential: (garden, node) => book.change((kept) => kept.deleteNodeCredential(garden, node)),

    ...mqttLogins(book, options.topics, now),

    async close() {
      isClosed = true
      await book.close()
    },
  }
}

const visitorOf = (session: SessionInfo): Visitor =>
  session.link === null
    ? { role: 'owner', session: session.id }
    : { role: 'reader', session: session.id, link: session.link }
