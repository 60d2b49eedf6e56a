/**
 * The year as 365 places, for figures that are usual on a date in any year. A leap day shares the place of the day before.
 * This folder says when to sow, plant and cut; it imports only core and shared.
 */
import { addDays, dayOfYear } from '../../../shared/local-time.js'

export const SLOTS = 365

const isLeap = (year: number): boolean => (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0

/** Place of a date in the year, 0 (1 January) to 364. */
export function slotOf(date: string): number {
  const day = dayOfYear(date)
  return day - (isLeap(Number(date.slice(0, 4))) && day > 59 ? 2 : 1)
}

/** The date at a place in a year; places below 0 or above 364 fall in the years before and after. */
export function dateAt(year: number, slot: number): string {
  const inYear = year + Math.floor(slot / SLOTS)
  const place = inSlots(slot)
  return addDays(`${inYear}-01-01`, place + (isLeap(inYear) && place > 58 ? 1 : 0))
}

/** A place brought into 0 to 364: after December comes January. */
export const inSlots = (slot: number): number => ((slot % SLOTS) + SLOTS) % SLOTS

/** Mean over the days around each place, round the year. */
export function smoothed(values: Float64Array, days: number): Float64Array {
  const half = days >> 1
  return Float64Array.from(values, (_, slot) => {
    let sum = 0
    for (let i = -half; i <= half; i++) sum += values[inSlots(slot + i)]!
    return sum / (2 * half + 1)
  })
}
