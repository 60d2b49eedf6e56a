/** What the hub says, in this reader's units and by the garden's own date. */
import { localDate } from '../../../shared/local-time.js'
import { told } from '../format/told.js'
import { timeZone } from './garden.js'
import { lengthUnit, tempUnit } from './preferences.js'
import { nowMs } from './present.js'

export function toldHere(text: string): string {
  // only the year is taken from it: no reason to draw anew with every tick of the clock
  const today = localDate(nowMs.peek(), timeZone.value)
  return told(text, today, tempUnit.value, lengthUnit.value)
}
