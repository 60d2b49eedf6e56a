/** A wall-clock time typed by the grower ('2027-05-06T14:10', garden's zone) to an instant and back. Pure. */
import { isoWithOffset, offsetMs } from '../../../shared/local-time.js'

const PATTERN = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}$/

/** For a datetime-local field. */
export function toWallTime(timeMs: number, timeZone: string): string {
  return new Date(timeMs + offsetMs(timeMs, timeZone)).toISOString().slice(0, 16)
}

/**
 * ISO 8601 with offset; null when the text is not a time. A wall time that comes twice (clocks going back) is the
 * first of the two; one that never comes (clocks going forward) is moved on by the jump.
 */
export function fromWallTime(text: string, timeZone: string): string | null {
  if (!PATTERN.test(text)) return null
  const wallMs = Date.parse(`${text}:00Z`)
  if (Number.isNaN(wallMs)) return null
  const dayMs = 86_400_000
  const before = wallMs - offsetMs(wallMs - dayMs, timeZone)
  const after = wallMs - offsetMs(wallMs + dayMs, timeZone)
  const fits = (timeMs: number): boolean => timeMs + offsetMs(timeMs, timeZone) === wallMs
  const timeMs = fits(before) ? before : fits(after) ? after : before
  return isoWithOffset(timeMs, timeZone)
}
