/**
 * Secrets that the hub draws itself: of sessions, links, tokens and nodes. They are random and long (160 bits), so
 * nobody guesses one; a plain digest is enough to keep them by, and a slow hash would only let strangers keep the
 * hub busy. What people think up is hashed slowly, in passphrase.ts.
 */
import { createHash, randomBytes, timingSafeEqual } from 'node:crypto'

/** Crockford's base 32 in small letters: none is taken for another when it is typed off a screen. */
const ALPHABET = '0123456789abcdefghjkmnpqrstvwxyz'
const SECRET_CHARACTERS = 32
const ID_CHARACTERS = 12

/** @param characters  5 bits each */
export function randomText(characters: number): string {
  // 32 divides 256: every letter is equally likely
  return Array.from(randomBytes(characters), (byte) => ALPHABET[byte % 32]).join('')
}

export const newSecret = (): string => randomText(SECRET_CHARACTERS)
export const newId = (): string => randomText(ID_CHARACTERS)

export const digestOf = (secret: string | Uint8Array): string =>
  createHash('sha256').update(secret).digest('hex')

/** Takes the same time wherever the two differ. */
export function isSameDigest(a: string, b: string): boolean {
  const [left, right] = [Buffer.from(a), Buffer.from(b)]
  return left.length === right.length && timingSafeEqual(left, right)
}
