/**
 * Calendar days of a garden: the only place where time zones are handled, for hub and dashboard alike.
 * Inside, time is UTC milliseconds; a local day is 23, 24 or 25 hours long (or other, where a zone jumps).
 */
import { tzOffset } from '@date-fns/tz'

export interface LocalDay {
  /** 'YYYY-MM-DD' in the garden's zone */
  readonly date: string
  /** first millisecond of the day, UTC */
  readonly startMs: number
  /** first millisecond of the next day, UTC */
  readonly endMs: number
}

const DAY_MS = 86_400_000
const DATE_PATTERN = /^(\d{4})-(\d{2})-(\d{2})$/

/** Is this an IANA time zone that the running engine knows? */
export function isTimeZone(timeZone: string): boolean {
  try {
    new Intl.DateTimeFormat('en', { timeZone })
    return true
  } catch {
    return false
  }
}

/** Offset of the zone from UTC at an instant, ms (east positive). */
export function offsetMs(timeMs: number, timeZone: string): number {
  return Math.round(tzOffset(timeZone, new Date(timeMs)) * 60_000)
}

/** Is this text a real calendar date 'YYYY-MM-DD' (no 30 February)? */
export function isDate(date: string): boolean {
  const utcMs = Date.parse(`${date}T00:00:00Z`)
  return DATE_PATTERN.test(date) && Number.isFinite(utcMs) && new Date(utcMs).toISOString().startsWith(date)
}

const dateFromUtcMs = (utcMs: number): string => new Date(utcMs).toISOString().slice(0, 10)

function utcMidnightMs(date: string): number {
  if (!isDate(date)) throw new RangeError(`not a calendar date (YYYY-MM-DD): ${date}`)
  return Date.parse(`${date}T00:00:00Z`)
}

/** The calendar date n days later (or earlier, n < 0). */
export function addDays(date: string, n: number): string {
  return dateFromUtcMs(utcMidnightMs(date) + n * DAY_MS)
}

/** Whole days from one date to another. */
export function daysBetween(fromDate: string, toDate: string): number {
  return Math.round((utcMidnightMs(toDate) - utcMidnightMs(fromDate)) / DAY_MS)
}

/** Day of the year, 1 to 366. */
export function dayOfYear(date: string): number {
  return daysBetween(`${date.slice(0, 4)}-01-01`, date) + 1
}

/** The local calendar date on which an instant falls. */
export function localDate(timeMs: number, timeZone: string): string {
  return dateFromUtcMs(timeMs + offsetMs(timeMs, timeZone))
}

/** First instant of a local date, UTC ms. Where midnight does not exist (a jump at midnight), the jump itself. */
export function startOfDayMs(date: string, timeZone: string): number {
  const midnightAsUtcMs = utcMidnightMs(date)
  const candidates = [
    midnightAsUtcMs - offsetMs(midnightAsUtcMs - DAY_MS, timeZone),
    midnightAsUtcMs - offsetMs(midnightAsUtcMs + DAY_MS, timeZone),
  ].sort((a, b) => a - b)
  const [early, late] = candidates as [number, number]
  if (localDate(early, timeZone) === date && early + offsetMs(early, timeZone) === midnightAsUtcMs)
    return early
  if (late + offsetMs(late, timeZone) === midnightAsUtcMs) return late
  // midnight was skipped: the transition lies between the two candidates; find it by bisection
  let before = early
  let after = late
  if (localDate(before, timeZone) === date) return before
  while (after - before > 1) {
    const middle = Math.floor((before + after) / 2)
    if (localDate(middle, timeZone) < date) before = middle
    else after = middle
  }
  return after
}

/** A local calendar day with its exact bounds. */
export function localDay(date: string, timeZone: string): LocalDay {
  return { date, startMs: startOfDayMs(date, timeZone), endMs: startOfDayMs(addDays(date, 1), timeZone) }
}

/** All local days from one date to another, both included. */
export function localDays(fromDate: string, toDate: string, timeZone: string): LocalDay[] {
  const n = daysBetween(fromDate, toDate)
  const days: LocalDay[] = []
  let startMs = startOfDayMs(fromDate, timeZone)
  for (let i = 0; i <= n; i++) {
    const endMs = startOfDayMs(addDays(fromDate, i + 1), timeZone)
    days.push({ date: addDays(fromDate, i), startMs, endMs })
    startMs = endMs
  }
  return days
}

/** ISO 8601 with the zone's offset at that instant, e.g. 2027-05-06T14:10:00+02:00. */
export function isoWithOffset(timeMs: number, timeZone: string): string {
  const offset = offsetMs(timeMs, timeZone)
  const local = new Date(timeMs + offset)
    .toISOString()
    .replace(/\.000Z$/, '')
    .replace(/Z$/, '')
  const sign = offset < 0 ? '-' : '+'
  const minutes = Math.abs(Math.round(offset / 60_000))
  const two = (n: number): string => String(n).padStart(2, '0')
  return `${local}${sign}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`
}
