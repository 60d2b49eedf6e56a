/** Times as warnings say them. */
import { isoWithOffset } from '../../shared/local-time.js'
import { counted } from '../core/words.js'

/** "4.5 h": sensors and methods do not bear more digits */
export const hours = (value: number): string => `${(Math.round(value * 2) / 2).toFixed(1)} h`

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
