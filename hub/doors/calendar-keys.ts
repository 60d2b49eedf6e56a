/**
 * Keys in the addresses by which calendar programs read: they cannot sign in. A key opens one file, to be read; it is long and
 * random, only its digest is kept, and wrong ones are slowed down by a guard of their own, so that a phone whose
 * link was taken back does not keep its owner from signing in.
 */
import { createAttemptGuard } from './attempt-guard.js'
import { type CalendarKeys, DoorError } from './port.js'
import { digestOf, isSameDigest, newId, newSecret } from './secrets.js'

const MOST_LINKS = 50

export interface CalendarKeyRecord {
  readonly id: string
  readonly name: string
  readonly digest: string
  readonly createdAtMs: number
}

/** Where they are kept. */
export interface CalendarKeyRecords {
  calendarLinks(garden: string): Promise<CalendarKeyRecord[]>
  addCalendarLink(garden: string, link: CalendarKeyRecord): Promise<void>
  deleteCalendarLink(garden: string, id: string): Promise<boolean>
}

/** @param now  UTC ms */
export function createCalendarKeys(records: CalendarKeyRecords, now: () => number): CalendarKeys {
  const guard = createAttemptGuard(now)
  return {
    async links(garden) {
      const links = await records.calendarLinks(garden)
      return links.map(({ id, name, createdAtMs }) => ({ id, name, createdAtMs }))
    },
    async addLink(garden, name) {
      if ((await records.calendarLinks(garden)).length >= MOST_LINKS) {
        throw new DoorError('TOO_MANY_SECRETS', `there are ${MOST_LINKS} links already: take some back first`)
      }
      const secret = newSecret()
      const link = { id: newId(), name, createdAtMs: now() }
      await records.addCalendarLink(garden, { ...link, digest: digestOf(secret) })
      return { link, secret }
    },
    revokeLink: (garden, id) => records.deleteCalendarLink(garden, id),
    async check(garden, secret, { address }) {
      const succeeded = guard.attempt(address)
      const digest = digestOf(secret)
      const links = await records.calendarLinks(garden)
      if (!links.some((link) => isSameDigest(link.digest, digest))) {
        throw new DoorError('WRONG_LINK', 'this address has been taken back, or never was one')
      }
      succeeded()
    },
  }
}
