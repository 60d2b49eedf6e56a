/**
 * The hub's doors: who may come in and what they may do. This folder decides; hub/api turns it into replies, the
 * broker into logins, hub/garden keeps the records. May import shared and its own files only.
 */

/** Somebody who has shown that they may come in. */
export type Visitor =
  | { readonly role: 'owner'; readonly session: string }
  /** a helper who came by a read-only link */
  | { readonly role: 'reader'; readonly session: string; readonly link: string }
  | { readonly role: 'token'; readonly token: string; readonly mayWrite: boolean }

export interface NewSession {
  readonly visitor: Visitor
  /** goes into the cookie and is not kept */
  readonly secret: string
  /** UTC ms */
  readonly expiresAtMs: number
}

export interface SessionInfo {
  readonly id: string
  /** null: the owner's own */
  readonly link: string | null
  /** what the browser said of itself when it signed in */
  readonly device: string
  readonly createdAtMs: number
  readonly seenAtMs: number
  readonly expiresAtMs: number
}

export interface LinkInfo {
  readonly id: string
  readonly name: string
  readonly createdAtMs: number
  readonly expiresAtMs: number
}

export interface NodeCredentialInfo {
  readonly garden: string
  readonly node: string
  readonly createdAtMs: number
}

/** Nodes that the broker has turned away since the hub started, as far as that concerns one node. Times are UTC ms. */
export interface RefusedLogins {
  /** with its user name, but another password than its present one; null: none */
  readonly wrongPassword: { readonly total: number; readonly latestMs: number } | null
  /** the latest under a user name that no node has; null: none */
  readonly unknownUser: { readonly username: string; readonly latestMs: number } | null
}

/** From where, and with what, somebody tries to come in. */
export interface Caller {
  readonly address: string
  /** what the browser says of itself; shown to the owner later */
  readonly device: string
}

export type DoorErrorCode =
  | 'WRONG_CODE'
  | 'WRONG_PASSPHRASE'
  | 'WRONG_LINK'
  | 'WEAK_PASSPHRASE'
  | 'TOO_MANY_ATTEMPTS'
  | 'ALREADY_SET_UP'
  | 'SET_UP_FIRST'
  | 'TOO_MANY_SECRETS'

/** Why the door stays shut. The message is for the person in front of it. */
export class DoorError extends Error {
  constructor(
    readonly code: DoorErrorCode,
    message: string,
    /** which entry of the form it is about; null: none */
    readonly field: string | null = null,
    /** TOO_MANY_ATTEMPTS: wait so long */
    readonly retryAfterS: number | null = null,
  ) {
    super(message)
    this.name = 'DoorError'
  }
}

/** What the API asks of the doors. Times are UTC ms. */
export interface Doors {
  hasOwner(): boolean
  /** signs the cookies */
  readonly cookieKey: string
  /** of this hub's own: browsers send cookies to every port of a machine, and it may run two hubs */
  readonly cookieName: string

  /** Whose session this is; null: of nobody, ended or run out. Counts as a sign of life of the session. */
  bySession(secret: string): Visitor | null
  byToken(secret: string): Visitor | null
  /** Is what let this visitor in still good? */
  isCurrent(visitor: Visitor): boolean
  /** Told after each change that may have ended somebody's right. @returns what ends the watching */
  onChange(listener: () => void): () => void

  /** @throws DoorError ALREADY_SET_UP, WRONG_CODE, WEAK_PASSPHRASE, TOO_MANY_ATTEMPTS */
  setUp(code: string, passphrase: string, caller: Caller): Promise<NewSession>
  /** @throws DoorError SET_UP_FIRST, WRONG_PASSPHRASE, TOO_MANY_ATTEMPTS */
  signIn(passphrase: string, caller: Caller): Promise<NewSession>
  /** @throws DoorError WRONG_LINK, TOO_MANY_ATTEMPTS */
  enterByLink(secret: string, caller: Caller): Promise<NewSession>
  /** Ends the owner's other sessions. @throws DoorError WRONG_PASSPHRASE, WEAK_PASSPHRASE, TOO_MANY_ATTEMPTS */
  changePassphrase(current: string, next: string, session: string, caller: Caller): Promise<void>

  sessions(): SessionInfo[]
  /** @returns false: there is none of this id */
  endSession(id: string): Promise<boolean>

  links(): LinkInfo[]
  /** @throws DoorError TOO_MANY_SECRETS */
  addLink(name: string, days: number): Promise<{ readonly link: LinkInfo; readonly secret: string }>
  /** Ends the link and the sessions of those who came by it. */
  revokeLink(id: string): Promise<boolean>

  nodeCredentials(garden: string): NodeCredentialInfo[]
  /** Takes the place of an earlier one, whose connection ends. @throws DoorError TOO_MANY_SECRETS */
  addNodeCredential(
    garden: string,
    node: string,
  ): Promise<{ readonly username: string; readonly password: string }>
  revokeNodeCredential(garden: string, node: string): Promise<boolean>
  refusedLogins(garden: string, node: string): RefusedLogins
}

/** Keys in the addresses of calendar files. */
export interface CalendarKeys {
  links(
    garden: string,
  ): Promise<{ readonly id: string; readonly name: string; readonly createdAtMs: number }[]>
  /** @throws DoorError TOO_MANY_SECRETS */
  addLink(
    garden: string,
    name: string,
  ): Promise<{
    readonly link: { readonly id: string; readonly name: string; readonly createdAtMs: number }
    readonly secret: string
  }>
  revokeLink(garden: string, id: string): Promise<boolean>
  /** @throws DoorError WRONG_LINK, TOO_MANY_ATTEMPTS */
  check(garden: string, secret: string, caller: Pick<Caller, 'address'>): Promise<void>
}

/** All that is kept, as read in one go. */
export interface DoorSnapshot {
  readonly passphraseHash: string | null
  readonly cookieKey: string
  readonly sessions: readonly (SessionInfo & { readonly digest: string })[]
  readonly links: readonly (LinkInfo & { readonly digest: string })[]
  readonly tokens: readonly TokenRecord[]
  readonly nodeCredentials: readonly NodeCredentialRecord[]
}

export interface TokenRecord {
  readonly id: string
  readonly name: string
  readonly scope: 'read' | 'write'
  readonly digest: string
  readonly createdAtMs: number
}

export interface NodeCredentialRecord extends NodeCredentialInfo {
  readonly digest: string
}

/** Where the doors keep what they must remember. Durable when resolved; each method is one transaction. */
export interface DoorRecords {
  readDoors(): Promise<DoorSnapshot>
  /** another number than before: another program (the command line) has changed the database */
  doorsVersion(): Promise<number>
  /** @returns false: there is an owner already */
  claimOwner(passphraseHash: string, atMs: number): Promise<boolean>
  /** Ends the owner's sessions but the one named. */
  changeOwner(passphraseHash: string, atMs: number, keepSession: string): Promise<void>
  /** Forgets the owner, every session and every link; tokens and nodes stay. */
  resetOwner(): Promise<void>
  addSession(session: SessionInfo & { readonly digest: string }): Promise<void>
  touchSessions(seen: readonly { readonly id: string; readonly seenAtMs: number }[]): Promise<void>
  deleteSessions(ids: readonly string[]): Promise<number>
  addLink(link: LinkInfo & { readonly digest: string }): Promise<void>
  deleteLinks(ids: readonly string[]): Promise<number>
  /** @returns false: there is one of this name */
  addToken(token: TokenRecord): Promise<boolean>
  deleteToken(name: string): Promise<boolean>
  putNodeCredential(credential: NodeCredentialRecord): Promise<void>
  deleteNodeCredential(garden: string, node: string): Promise<boolean>
}
