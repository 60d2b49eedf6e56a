/** Hours on the garden's clock, as instants. Pure. */
import type { DeliverySettings } from '../../shared/api/delivery.js'
import { addDays, isoWithOffset, localDate, offsetMs, startOfDayMs } from '../../shared/local-time.js'

const MINUTE_MS = 60_000

/**
 * The instant at which the garden's clock shows a time of day.
 *
 * @param clock  'HH:MM'; one that a clock change skips becomes an instant within an hour of the change
 */
export function wallTimeMs(date: string, clock: string, timeZone: string): number {
  const [hours = 0, minutes = 0] = clock.split(':').map(Number)
  const midnightMs = startOfDayMs(date, timeZone)
  const roughMs = midnightMs + (hours * 60 + minutes) * MINUTE_MS
  return roughMs + offsetMs(midnightMs, timeZone) - offsetMs(roughMs, timeZone)
}

const clockAt = (timeMs: number, timeZone: string): string => isoWithOffset(timeMs, timeZone).slice(11, 16)

/** The first instant after this one at which the garden's clock shows the full hour. */
export function nextHourMs(afterMs: number, hour: number, timeZone: string): number {
  const clock = `${String(hour).padStart(2, '0')}:00`
  const today = localDate(afterMs, timeZone)
  const todayMs = wallTimeMs(today, clock, timeZone)
  return todayMs > afterMs ? todayMs : wallTimeMs(addDays(today, 1), clock, timeZone)
}

/** This instant, or the end of the quiet hours that it falls in. */
export function quietEndMs(
  timeMs: number,
  quietHours: DeliverySettings['quietHours'],
  timeZone: string,
): number {
  if (quietHours === null) return timeMs
  const { from, to } = quietHours
  const clock = clockAt(timeMs, timeZone)
  const isQuiet = from < to ? clock >= from && clock < to : clock >= from || clock < to
  if (!isQuiet) return timeMs
  const today = localDate(timeMs, timeZone)
  const endMs = wallTimeMs(today, to, timeZone)
  return endMs > timeMs ? endMs : wallTimeMs(addDays(today, 1), to, timeZone)
}
