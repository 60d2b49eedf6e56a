/** Spans of time in words: 'four hours' is what a grower says, 4 h 50 min what they check. */

const MINUTE_MS = 60_000
const NUMBER_WORDS = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten']

/** '4 h 50 min', '50 min', '6 h'; 'none' below half a minute. */
export function hoursInWords(hours: number): string {
  const minutes = Math.round(hours * 60)
  if (minutes <= 0) return 'none'
  const h = Math.floor(minutes / 60)
  const m = minutes % 60
  if (h === 0) return `${m}\u00a0min`
  return m === 0 ? `${h}\u00a0h` : `${h}\u00a0h ${m}\u00a0min`
}

/** Small whole numbers as words. */
export const numberWord = (n: number): string => NUMBER_WORDS[n] ?? String(n)

/** Numbers that stand side by side: all as words, or, where one is too large for that, all as figures. */
export const numbersAlike = (numbers: readonly number[]): string[] =>
  numbers.map(numbers.every((n) => n < NUMBER_WORDS.length) ? numberWord : String)

const count = (n: number, unit: string): string => `${n} ${unit}${n === 1 ? '' : 's'}`

/** How long ago, roughly: 'just now', '12 minutes ago', '3 hours ago', '5 days ago'. */
export function ageInWords(ageMs: number): string {
  const minutes = Math.floor(ageMs / MINUTE_MS)
  if (minutes < 1) return 'just now'
  if (minutes < 90) return `${count(minutes, 'minute')} ago`
  const hours = Math.round(minutes / 60)
  if (hours < 36) return `${count(hours, 'hour')} ago`
  return `${count(Math.round(hours / 24), 'day')} ago`
}

/** A step of a chart: '10-minute', '1-hour', '1-day'. */
export function stepInWords(stepS: number): string {
  if (stepS >= 86_400 && stepS % 86_400 === 0) return `${stepS / 86_400}-day`
  if (stepS >= 3600 && stepS % 3600 === 0) return `${stepS / 3600}-hour`
  if (stepS >= 60) return `${Math.round(stepS / 60)}-minute`
  return `${stepS}-second`
}

/** 'kale', 'kale and lettuce', 'kale, lettuce and peas' */
export function listInWords(items: readonly string[]): string {
  if (items.length <= 1) return items[0] ?? ''
  return `${items.slice(0, -1).join(', ')} and ${items[items.length - 1]}`
}
