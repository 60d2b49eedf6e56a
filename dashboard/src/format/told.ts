/** What the hub says in sentences, as this reader has it. Pure. */
import { type LengthUnit, lengthsInText } from './lengths.js'
import { dayMonth, dayMonthYear } from './local-clock.js'
import { type TempUnit, temperaturesInText } from './units.js'

/** Dates, which the hub writes by ISO 8601, in other words. */
export const datesInText = (text: string, words: (date: string) => string): string =>
  text.replace(/\b\d{4}-\d{2}-\d{2}\b/g, words)

/** Sentences with dates, lengths and temperatures as the reader has them; a date does not break across lines. */
export function told(text: string, today: string, tempUnit: TempUnit, lengthUnit: LengthUnit): string {
  const withDates = datesInText(text, (date) => {
    const words = date.slice(0, 4) === today.slice(0, 4) ? dayMonth(date) : dayMonthYear(date)
    return words.replaceAll(' ', '\u00a0')
  })
  return lengthsInText(temperaturesInText(withDates, tempUnit), lengthUnit)
}
