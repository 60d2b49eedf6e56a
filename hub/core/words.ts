/** Small pieces of the hub's own sentences, in warnings, tasks and plans alike. Plain English, metric, a real minus sign. */

/** "−1.2 °C" */
export const celsius = (valueC: number): string => `${valueC.toFixed(1).replace('-', '−')} °C`

/** "3 days", "1 day" */
export const counted = (n: number, thing: string): string => `${n} ${thing}${n === 1 ? '' : 's'}`

/** "Early cabbage" at the start of a sentence */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

/** "a", "a and b", "a, b and c" */
export const list = (parts: readonly string[]): string =>
  parts.length < 2 ? parts.join('') : `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`

/** "about 3 in 10": chances bear no more digits. From "less than 1 in 10" to "more than 9 in 10". */
export function inTen(chance: number): string {
  const tenths = Math.round(chance * 10)
  if (tenths < 1) return 'less than 1 in 10'
  return tenths > 9 ? 'more than 9 in 10' : `about ${tenths} in 10`
}
