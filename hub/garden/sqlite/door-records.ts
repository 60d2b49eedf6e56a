/** What the doors remember, in SQLite: owner, sessions, links, tokens, node credentials. No secret is in here. */
import { randomBytes } from 'node:crypto'
import type Database from 'better-sqlite3'
import type { DoorRecords, DoorSnapshot } from '../../doors/port.js'

/** The port's methods as they are beside the database: answered at once. */
export type AnsweredDoorRecords = {
  [M in keyof DoorRecords]: DoorRecords[M] extends (...args: infer A) => Promise<infer R>
    ? (...args: A) => R
    : never
}

export function doorRecords(db: Database.Database): AnsweredDoorRecords {
  const all = <T>(sql: string): T[] => db.prepare<[], T>(sql).all()

  const cookieKey = (): string => {
    const read = db.prepare<[], string>('SELECT key FROM cookie_key').pluck()
    const known = read.get()
    if (known !== undefined) return known
    const key = randomBytes(32).toString('base64url')
    db.prepare('INSERT INTO cookie_key (only, key) VALUES (1, ?)').run(key)
    return key
  }

  return {
    readDoors: (): DoorSnapshot => ({
      passphraseHash: db.prepare<[], string>('SELECT passphrase_hash FROM owner').pluck().get() ?? null,
      cookieKey: cookieKey(),
      sessions: all(`SELECT id, digest, link, device, created_at_ms AS createdAtMs, seen_at_ms AS seenAtMs,
        expires_at_ms AS expiresAtMs FROM sessions ORDER BY created_at_ms, id`),
      links: all(`SELECT id, digest, name, created_at_ms AS createdAtMs, expires_at_ms AS expiresAtMs
        FROM reading_links ORDER BY created_at_ms, id`),
      tokens: all(
        `SELECT id, name, digest, scope, created_at_ms AS createdAtMs FROM api_tokens ORDER BY name`,
      ),
      nodeCredentials: all(`SELECT garden, node, digest, created_at_ms AS createdAtMs FROM node_credentials
        ORDER BY garden, node`),
    }),
    // counts the commits of other connections only: that of this one does not move it
    doorsVersion: () => db.pragma('data_version', { simple: true }) as number,

    claimOwner: (passphraseHash, atMs) =>
      db
        .prepare(
          'INSERT INTO owner (only, passphrase_hash, set_at_ms) VALUES (1, ?, ?) ON CONFLICT DO NOTHING',
        )
        .run(passphraseHash, atMs).changes === 1,
    changeOwner: (passphraseHash, atMs, keepSession) => {
      db.prepare('UPDATE owner SET passphrase_hash = ?, set_at_ms = ?').run(passphraseHash, atMs)
      db.prepare('DELETE FROM sessions WHERE link IS NULL AND id <> ?').run(keepSession)
    },
    resetOwner: () => {
      db.exec('DELETE FROM sessions; DELETE FROM reading_links; DELETE FROM owner;')
    },

    addSession: (session) => {
      db.prepare(
        `INSERT INTO sessions (id, digest, link, device, created_at_ms, seen_at_ms, expires_at_ms)
         VALUES (@id, @digest, @link, @device, @createdAtMs, @seenAtMs, @expiresAtMs)`,
      ).run(session)
    },
    touchSessions: (seen) => {
      const touch = db.prepare('UPDATE sessions SET seen_at_ms = max(seen_at_ms, @seenAtMs) WHERE id = @id')
      for (const session of seen) touch.run(session)
    },
    deleteSessions: (ids) => deleteIds('sessions', ids),

    addLink: (link) => {
      db.prepare(
        `INSERT INTO reading_links (id, digest, name, created_at_ms, expires_at_ms)
         VALUES (@id, @digest, @name, @createdAtMs, @expiresAtMs)`,
      ).run(link)
    },
    deleteLinks: (ids) => deleteIds('reading_links', ids),

    addToken: (token) =>
      db
        .prepare(
          `INSERT INTO api_tokens (id, name, digest, scope, created_at_ms)
           VALUES (@id, @name, @digest, @scope, @createdAtMs) ON CONFLICT (name) DO NOTHING`,
        )
        .run(token).changes === 1,
    deleteToken: (name) => db.prepare('DELETE FROM api_tokens WHERE name = ?').run(name).changes === 1,

    putNodeCredential: (credential) => {
      db.prepare(
        `INSERT INTO node_credentials (garden, node, digest, created_at_ms)
         VALUES (@garden, @node, @digest, @createdAtMs)
         ON CONFLICT (garden, node) DO UPDATE SET digest = excluded.digest,
           created_at_ms = excluded.created_at_ms`,
      ).run(credential)
    },
    deleteNodeCredential: (garden, node) =>
      db.prepare('DELETE FROM node_credentials WHERE garden = ? AND node = ?').run(garden, node).changes ===
      1,
  }

  function deleteIds(table: 'sessions' | 'reading_links', ids: readonly string[]): number {
    const remove = db.prepare(`DELETE FROM ${table} WHERE id = ?`)
    return ids.reduce((gone, id) => gone + remove.run(id).changes, 0)
  }
}
