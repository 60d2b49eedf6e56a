/** Minutes after a day's start as a clock time. Off by the jump on the two days a year when the clocks change. */

import { clockTime } from '../format/local-clock.js'
import { clockStyle } from '../state/preferences.js'

export const minuteClock = (minute: number): string =>
  clockTime(Math.round(minute) * 60_000, 'UTC', clockStyle.value)
