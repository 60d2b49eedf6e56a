/** Lengths and dates in the hub's own sentences about room. Metric; a page may turn them into feet and inches. */

/** "40 cm", "40.6 cm", "1.2 m": centimetres below a metre, never more than the tape shows. */
export const lengthWords = (lengthM: number): string =>
  lengthM < 0.9995
    ? `${Math.round(lengthM * 1000) / 10}\u00a0cm`
    : `${Math.round(lengthM * 100) / 100}\u00a0m`

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

/** "20 June 2027" @param date  YYYY-MM-DD */
export function dateWords(date: string): string {
  const [year, month, day] = date.split('-').map(Number)
  return `${day} ${MONTHS[(month ?? 1) - 1]} ${year}`
}
