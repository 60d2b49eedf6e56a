/**
 * The code that makes somebody the owner: shown on the hub's own console only, good for an hour and a few
 * attempts, then replaced by another. 50 random bits and ten attempts a code: guessing it is out of the question.
 */
import { digestOf, isSameDigest, randomText } from './secrets.js'

const GROUPS = 2
const GROUP_CHARACTERS = 5
const GOOD_FOR_MS = 60 * 60_000
const ATTEMPTS = 10

export interface SetUpCode {
  /** Counts as an attempt. */
  isRight(code: string): boolean
  /** Draws another when the time of this one is over. */
  renewWhenDue(): void
}

/** @param announce  shows the code to whoever stands at the hub */
export function createSetUpCode(
  now: () => number,
  announce: (code: string, goodUntilMs: number) => void,
): SetUpCode {
  let digest = ''
  let goodUntilMs = 0
  let attemptsLeft = 0
  const draw = (): void => {
    const code = Array.from({ length: GROUPS }, () => randomText(GROUP_CHARACTERS)).join('-')
    digest = digestOf(plain(code))
    goodUntilMs = now() + GOOD_FOR_MS
    attemptsLeft = ATTEMPTS
    announce(code, goodUntilMs)
  }
  draw()
  return {
    isRight(code) {
      if (now() >= goodUntilMs) {
        draw()
        return false
      }
      attemptsLeft--
      const isRight = isSameDigest(digestOf(plain(code)), digest)
      if (!isRight && attemptsLeft === 0) draw()
      return isRight
    },
    renewWhenDue() {
      if (now() >= goodUntilMs) draw()
    },
  }
}

/** As people type it: capitals, blanks, other dashes, and the letters that look like digits (Crockford). */
const plain = (code: string): string =>
  code
    .toLowerCase()
    .replace(/[\s\p{Pd}]/gu, '')
    .replace(/o/g, '0')
    .replace(/[il]/g, '1')
