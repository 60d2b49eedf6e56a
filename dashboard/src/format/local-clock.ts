/**
 * Clock times and dates in words, in the garden's zone whatever zone the browser is in. English by hand rather
 * than by Intl, so that every browser prints the same almanac.
 */
import { offsetMs } from '../../../shared/local-time.js'

/** '24': 14:10, '12': 2:10 pm */
export type ClockStyle = '24' | '12'

const WEEKDAYS = ['Sunday', 'Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday']
const MONTHS = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
]

/** The wall clock of the zone, as the UTC fields of a Date. */
export const wallClock = (timeMs: number, timeZone: string): Date =>
  new Date(timeMs + offsetMs(timeMs, timeZone))

const two = (n: number): string => String(n).padStart(2, '0')

function clockOf(wall: Date, style: ClockStyle): string {
  const hour = wall.getUTCHours()
  const minute = two(wall.getUTCMinutes())
  if (style === '24') return `${hour}:${minute}`
  return `${hour % 12 === 0 ? 12 : hour % 12}:${minute}\u00a0${hour < 12 ? 'am' : 'pm'}`
}

/** '5:21', '14:10' or '2:10 pm' */
export const clockTime = (timeMs: number, timeZone: string, style: ClockStyle): string =>
  clockOf(wallClock(timeMs, timeZone), style)

/** An hour on an axis: '06:00' or '6 am'; minutes only where they are not zero in the short style. */
export function axisClock(timeMs: number, timeZone: string, style: ClockStyle): string {
  const wall = wallClock(timeMs, timeZone)
  if (style === '24') return `${two(wall.getUTCHours())}:${two(wall.getUTCMinutes())}`
  return wall.getUTCMinutes() === 0 ? clockOf(wall, style).replace(':00', '') : clockOf(wall, style)
}

const calendarDate = (date: string): Date => new Date(`${date}T00:00:00Z`)

function ordinal(day: number): string {
  const last = day % 10
  if (day >= 11 && day <= 13) return `${day}th`
  return `${day}${last === 1 ? 'st' : last === 2 ? 'nd' : last === 3 ? 'rd' : 'th'}`
}

/** 'Thursday, the 6th of May' */
export function dateInWords(date: string): string {
  const d = calendarDate(date)
  return `${WEEKDAYS[d.getUTCDay()]}, the ${ordinal(d.getUTCDate())} of ${MONTHS[d.getUTCMonth()]}`
}

/** 'Thu 6 May' */
export function shortDate(date: string): string {
  const d = calendarDate(date)
  return `${WEEKDAYS[d.getUTCDay()]?.slice(0, 3)} ${d.getUTCDate()} ${MONTHS[d.getUTCMonth()]?.slice(0, 3)}`
}

/** '6 May' */
export function dayMonth(date: string): string {
  const d = calendarDate(date)
  return `${d.getUTCDate()} ${MONTHS[d.getUTCMonth()]?.slice(0, 3)}`
}

/** '6 May 2027' */
export function dayMonthYear(date: string): string {
  const d = calendarDate(date)
  return `${d.getUTCDate()} ${MONTHS[d.getUTCMonth()]?.slice(0, 3)} ${d.getUTCFullYear()}`
}

/** 'May', or 'Mar' when short */
export function monthName(date: string, isShort: boolean): string {
  const name = MONTHS[calendarDate(date).getUTCMonth()] ?? ''
  return isShort ? name.slice(0, 3) : name
}

/** 'Thu 6 May 14:10', as the cursor reads it; the seconds only where they matter. */
export function dateAndClock(timeMs: number, timeZone: string, style: ClockStyle): string {
  const wall = wallClock(timeMs, timeZone)
  return `${shortDate(wall.toISOString().slice(0, 10))} ${clockOf(wall, style)}`
}
