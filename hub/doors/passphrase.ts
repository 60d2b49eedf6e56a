/** The owner's passphrase: hashed with argon2id, so that a stolen database does not give it away. */
import { hash, verify } from '@node-rs/argon2'
import { DoorError } from './port.js'

export const SHORTEST_PASSPHRASE = 10
const FEWEST_DIFFERENT = 5
/** const enum Algorithm.Argon2id of the package, which isolated modules cannot read */
const ARGON2ID = 2

/**
 * Memory, passes and lanes as the OWASP Password Storage Cheat Sheet advises for argon2id (19 MiB, 2, 1): about
 * 50 ms on a desktop, a quarter of a second on a small board.
 */
const COST = { algorithm: ARGON2ID, memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const

/** The same word typed on another keyboard may come in other code points: NIST SP 800-63B §5.1.1.2 asks for this. */
const normalised = (passphrase: string): string => passphrase.normalize('NFKC')

/** @throws DoorError WEAK_PASSPHRASE */
export function requireStrong(passphrase: string, field: string): void {
  const text = normalised(passphrase)
  if ([...text].length < SHORTEST_PASSPHRASE) {
    throw new DoorError(
      'WEAK_PASSPHRASE',
      `at least ${SHORTEST_PASSPHRASE} characters; four words that do not belong together are good and easy to keep in mind`,
      field,
    )
  }
  if (new Set(text.toLowerCase()).size < FEWEST_DIFFERENT) {
    throw new DoorError('WEAK_PASSPHRASE', 'use more than a few different characters', field)
  }
}

export const hashPassphrase = (passphrase: string): Promise<string> => hash(normalised(passphrase), COST)

export const isPassphrase = (passphrase: string, passphraseHash: string): Promise<boolean> =>
  verify(passphraseHash, normalised(passphrase))
