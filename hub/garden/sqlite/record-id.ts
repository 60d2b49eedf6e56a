/** Ids of things that the grower does not name (placements, plantings): short, unique, sorting by age. */
import { randomBytes } from 'node:crypto'

let lastMs = 0

/** e.g. `mi3v0c2k-9f2c41d8`: milliseconds in base 36, never twice the same within a process, then chance. */
export function recordId(): string {
  lastMs = Math.max(lastMs + 1, Date.now())
  return `${lastMs.toString(36)}-${randomBytes(4).toString('hex')}`
}
