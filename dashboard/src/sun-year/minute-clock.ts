/** A minute after a day's start as the garden's clock has it, also on the days when the clocks change. */
import { startOfDayMs } from '../../../shared/local-time.js'
import { clockTime } from '../format/local-clock.js'
import { timeZone } from '../state/garden.js'
import { clockStyle } from '../state/preferences.js'

export const minuteClock = (date: string, minute: number): string =>
  clockTime(
    startOfDayMs(date, timeZone.value) + Math.round(minute) * 60_000,
    timeZone.value,
    clockStyle.value,
  )
