/** Numbers and names as warnings say them. Plain English, metric units, a real minus sign. */
import { isoWithOffset } from '../../shared/local-time.js'

const signed = (text: string): string => text.replace('-', '−')

/** "−1.2 °C" */
export const celsius = (valueC: number): string => `${signed(valueC.toFixed(1))} °C`

/** "4.5 h": sensors and methods do not bear more digits */
export const hours = (value: number): string => `${(Math.round(value * 2) / 2).toFixed(1)} h`

/** "3 days", "1 day" */
export const counted = (n: number, thing: string): string => `${n} ${thing}${n === 1 ? '' : 's'}`

/** "40 minutes", "6 hours", "3 days": a length of time in the unit that fits */
export function lengthOfTime(ms: number): string {
  const minutes = Math.round(ms / 60_000)
  if (minutes < 100) return counted(Math.max(1, minutes), 'minute')
  const wholeHours = Math.round(minutes / 60)
  return wholeHours < 48 ? counted(wholeHours, 'hour') : counted(Math.round(wholeHours / 24), 'day')
}

/** "14:10" on the garden's clock */
export const clock = (timeMs: number, timeZone: string): string =>
  isoWithOffset(timeMs, timeZone).slice(11, 16)

/** "14:10 on 2027-05-06" on the garden's clock */
export const moment = (timeMs: number, timeZone: string): string =>
  `${clock(timeMs, timeZone)} on ${isoWithOffset(timeMs, timeZone).slice(0, 10)}`

/** "Early cabbage" at the start of a sentence */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

/** "a", "a and b", "a, b and c" */
export function list(names: readonly string[]): string {
  if (names.length < 2) return names.join('')
  return `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`
}
