/**
 * Slows guessing down: after a few failures each further one doubles the wait, for the address it comes from and,
 * later and milder, for everybody, so that many addresses together gain little either. An attempt counts as failed
 * until it has succeeded: guesses sent all at once do not slip past.
 */
import { isIPv6 } from 'node:net'
import { DoorError } from './port.js'

interface Tally {
  failures: number
  lastMs: number
}

interface Limit {
  /** failures before the first wait */
  readonly free: number
  readonly longestWaitMs: number
  /** without a failure for so long all is forgotten */
  readonly forgetAfterMs: number
}

const FIRST_WAIT_MS = 1_000
const MINUTE_MS = 60_000
const PER_ADDRESS: Limit = { free: 5, longestWaitMs: 15 * MINUTE_MS, forgetAfterMs: 60 * MINUTE_MS }
/** the owner must be able to come in while somebody rattles at the door: a wait that can be sat out */
const OVERALL: Limit = { free: 30, longestWaitMs: 30_000, forgetAfterMs: 30 * MINUTE_MS }
const MOST_ADDRESSES = 10_000

export interface AttemptGuard {
  /**
   * Call before a secret is looked at.
   * @returns  to be called when it was right
   * @throws DoorError TOO_MANY_ATTEMPTS, with the time to wait
   */
  attempt(address: string): () => void
}

/** @param now  UTC ms */
export function createAttemptGuard(now: () => number): AttemptGuard {
  const addresses = new Map<string, Tally>()
  let overall: Tally = { failures: 0, lastMs: 0 }

  return {
    attempt(address) {
      const nowMs = now()
      const key = network(address)
      const mine = fresh(addresses.get(key), PER_ADDRESS, nowMs)
      overall = fresh(overall, OVERALL, nowMs)
      const waitMs = Math.max(waitOf(mine, PER_ADDRESS, nowMs), waitOf(overall, OVERALL, nowMs))
      if (waitMs > 0) {
        const retryAfterS = Math.ceil(waitMs / 1000)
        throw new DoorError(
          'TOO_MANY_ATTEMPTS',
          `too many wrong attempts; try again in ${retryAfterS === 1 ? 'a second' : `${retryAfterS} seconds`}`,
          null,
          retryAfterS,
        )
      }
      for (const tally of [mine, overall]) {
        tally.failures++
        tally.lastMs = nowMs
      }
      // the newest at the end: what makes room is what has been quiet longest
      addresses.delete(key)
      addresses.set(key, mine)
      if (addresses.size > MOST_ADDRESSES) addresses.delete(addresses.keys().next().value!)
      return () => {
        addresses.delete(key)
        overall.failures = Math.max(0, overall.failures - 1)
      }
    },
  }
}

function fresh(tally: Tally | undefined, { forgetAfterMs }: Limit, nowMs: number): Tally {
  const agoMs = nowMs - (tally?.lastMs ?? 0)
  // a clock that was set back must not lock the owner out until it has caught up
  return tally === undefined || agoMs > forgetAfterMs || agoMs < 0 ? { failures: 0, lastMs: 0 } : tally
}

function waitOf({ failures, lastMs }: Tally, { free, longestWaitMs }: Limit, nowMs: number): number {
  if (failures < free) return 0
  return lastMs + Math.min(longestWaitMs, FIRST_WAIT_MS * 2 ** (failures - free)) - nowMs
}

/** One household has a whole /64 of IPv6 addresses at hand: they count as one. */
function network(address: string): string {
  if (!isIPv6(address) || address.startsWith('::ffff:')) return address.replace(/^::ffff:/, '')
  const [head = '', tail] = address.split('::')
  const groups = head === '' ? [] : head.split(':')
  const after = tail === undefined || tail === '' ? 0 : tail.split(':').length
  if (tail !== undefined) while (groups.length < Math.min(4, 8 - after)) groups.push('0')
  return `${groups.slice(0, 4).join(':')}::/64`
}
