/**
 * One sender at a time, over all tabs and the worker of this browser: a change that is sent late by one must not undo what
 * another has sent since. By the browser's locks; on plain http, where there are none, by a lease in the database.
 */
import type { LastingOutbox } from './indexed-outbox.js'

const LOCK = 'hearting.outbox'
const LEASE_MS = 15_000
const ASK_AGAIN_MS = 500

/** 128 random bits, small hexadecimal digits: also an id as the journal takes them. */
export function randomId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16))
  return [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('')
}

const holder = randomId()

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms))

async function withLease<T>(outbox: LastingOutbox, work: () => Promise<T>): Promise<T> {
  while (!(await outbox.claim(holder, Date.now(), Date.now() + LEASE_MS))) await pause(ASK_AGAIN_MS)
  const prolong = setInterval(
    () => void outbox.claim(holder, Date.now(), Date.now() + LEASE_MS),
    LEASE_MS / 3,
  )
  try {
    return await work()
  } finally {
    clearInterval(prolong)
    await outbox.release(holder)
  }
}

/** @param outbox  null: nothing lasting, then nobody else knows of it */
export async function oneAtATime<T>(outbox: LastingOutbox | null, work: () => Promise<T>): Promise<T> {
  if (outbox === null) return work()
  if ('locks' in navigator) return navigator.locks.request(LOCK, work)
  return withLease(outbox, work)
}
