/** Latitude and longitude as people write them: decimal, with letters, in degrees and minutes, or both in one go. Pure. */

export type Axis = 'latitude' | 'longitude'

const LETTERS = { latitude: { N: 1, S: -1 }, longitude: { E: 1, W: -1 } } as const
const MOST_DEG = { latitude: 90, longitude: 180 } as const
const EXAMPLES = { latitude: '55.68, or 55°41′N', longitude: '12.57, or 12°34′E' } as const
/** degrees, then minutes and seconds where there are any; each may be parted by its sign or by blanks */
const PARTS =
  /^(\d{1,3}(?:\.\d+)?)(?:°|\s|$)\s*(?:(\d{1,2}(?:\.\d+)?)(?:′|'|\s|$)\s*(?:(\d{1,2}(?:\.\d+)?)(?:″|"|\s|$)\s*)?)?$/

export type Angle = { readonly deg: number } | { readonly problem: string }

const tidy = (text: string): string =>
  text
    .trim()
    .replace(/[\u2212\u2013]/g, '-')
    .replace(/[’´`ʹ]/g, '′')
    .replace(/[”“ʺ]|''|′′/g, '″')
    .replace(/º|˚/g, '°')
    .replace(/(\d),(\d)/g, '$1.$2')

/** '55.68', '55,68', '-33.9', '33.9 S', '55°41′N', '55 41 12 N' */
export function angleIn(text: string, axis: Axis): Angle {
  const example = { problem: `write degrees, e.g. ${EXAMPLES[axis]}` }
  const match = /^([+-]?)\s*(.*?)\s*([A-Za-z]?)$/s.exec(tidy(text).replace(/^([A-Za-z])\s*(.+)$/s, '$2 $1'))
  if (match === null) return example
  const [, sign = '', figures = '', letter = ''] = match
  const letters: Readonly<Record<string, number>> = LETTERS[axis]
  const side = letter === '' ? 1 : letters[letter.toUpperCase()]
  if (side === undefined) {
    const asked = axis === 'latitude' ? 'N or S' : 'E or W'
    return { problem: `this is the ${axis}: write degrees, or degrees with ${asked}` }
  }
  if (sign !== '' && letter !== '') return { problem: 'use either a sign or a letter, not both' }
  const parts = PARTS.exec(figures)
  if (parts === null) return example
  const [degrees, minutes, seconds] = [1, 2, 3].map((i) => Number(parts[i] ?? 0)) as [number, number, number]
  if (minutes >= 60 || seconds >= 60) return { problem: 'minutes and seconds go up to 59' }
  const deg = (degrees + minutes / 60 + seconds / 3600) * side * (sign === '-' ? -1 : 1)
  if (Math.abs(deg) > MOST_DEG[axis]) return { problem: `goes from −${MOST_DEG[axis]} to ${MOST_DEG[axis]}` }
  return { deg: Math.round(deg * 1e5) / 1e5 + 0 }
}

/** Both in one field, as maps and chats hand them on: '55.68, 12.57'; '55°41′N 12°34′E'. null: not a pair. */
export function pairIn(text: string): { readonly latitude: string; readonly longitude: string } | null {
  const given = text.trim()
  const byLetter = /^(.+?[NSns])[\s,;]+(.+?[EWew])$/.exec(given)
  const byComma =
    /^([+\-\u2212]?\d+(?:\.\d+)?)\s*(?:,\s+|,(?=[+\-\u2212]?\d+\.)|;\s*|\s+)([+\-\u2212]?\d+(?:\.\d+)?)$/.exec(
      given,
    )
  // points part the decimals here, so a comma can only part the two
  const pair = byLetter ?? (byComma !== null && /\./.test(given) ? byComma : null)
  const decimalCommas = /^([+\-\u2212]?\d+,\d+)\s*(?:;\s*|,?\s+)([+\-\u2212]?\d+,\d+)$/.exec(given)
  const [, latitude, longitude] = pair ?? decimalCommas ?? []
  if (latitude === undefined || longitude === undefined) return null
  if ('problem' in angleIn(latitude, 'latitude') || 'problem' in angleIn(longitude, 'longitude')) return null
  return { latitude: latitude.trim(), longitude: longitude.trim() }
}
