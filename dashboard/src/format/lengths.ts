/**
 * Lengths and weights as the grower's tape and scale show them: metres and kilograms, or feet, inches and pounds. Inside the
 * page all lengths are metres; they are turned here, at the edge.
 */

export type LengthUnit = 'm' | 'ft'

/** By definition of the international yard and pound, 1959. */
export const INCH_M = 0.0254
export const FOOT_M = 0.3048
export const POUND_KG = 0.45359237

const QUARTERS = ['', '¼', '½', '¾']

/** Inches to the nearest quarter: '16', '15¾', '½'. */
function inchesText(inches: number): string {
  const quarters = Math.round(inches * 4)
  const whole = Math.floor(quarters / 4)
  const part = QUARTERS[quarters % 4] ?? ''
  return whole === 0 && part !== '' ? part : `${whole}${part}`
}

/** Up to three feet in inches, as spacings are told; longer in feet and inches. */
function feetText(lengthM: number): string {
  const inches = Math.round((lengthM / INCH_M) * 4) / 4
  if (inches <= 36) return `${inchesText(inches)}\u00a0in`
  const feet = Math.floor(inches / 12)
  const rest = inches - 12 * feet
  return rest === 0 ? `${feet}\u00a0ft` : `${feet}\u00a0ft ${inchesText(rest)}\u00a0in`
}

/** A length with its unit: '40 cm', '40.6 cm', '1.2 m'; '16 in', '4 ft', '7 ft 10½ in'. */
export function showLength(lengthM: number, unit: LengthUnit): string {
  if (unit === 'ft') return feetText(lengthM)
  if (lengthM < 0.9995) return `${Math.round(lengthM * 1000) / 10}\u00a0cm`
  return `${Math.round(lengthM * 100) / 100}\u00a0m`
}

/** A spacing for its field, centimetres or inches without the unit, fine enough to be turned back: '40.64', '16'. */
export const spacingText = (spacingM: number, unit: LengthUnit): string =>
  unit === 'm'
    ? String(Math.round(spacingM * 10_000) / 100)
    : String(Math.round((spacingM / INCH_M) * 100) / 100)

/** A bed's length for its field, metres or feet without the unit: '1.2', '4'. */
export const bedLengthText = (lengthM: number, unit: LengthUnit): string =>
  String(Math.round((unit === 'm' ? lengthM : lengthM / FOOT_M) * 10_000) / 10_000)

/** A bed from above: '2.4 × 1.2 m', '8 ft × 4 ft'. */
export function bedSizeText(
  bed: { readonly lengthM: number; readonly widthM: number },
  unit: LengthUnit,
): string {
  const metres = (lengthM: number): string => String(Math.round(lengthM * 100) / 100)
  return unit === 'm'
    ? `${metres(bed.lengthM)}\u00a0×\u00a0${metres(bed.widthM)}\u00a0m`
    : `${feetText(bed.lengthM)}\u00a0×\u00a0${feetText(bed.widthM)}`
}

/** A weight with its unit, e.g. '1.4 kg', '3 lb'. */
export function showWeightRange(lowKg: number, highKg: number, unit: LengthUnit): string {
  const [low, high] = unit === 'm' ? [lowKg, highKg] : [lowKg / POUND_KG, highKg / POUND_KG]
  const text = (value: number): string => value.toFixed(1)
  const name = unit === 'm' ? 'kg' : 'lb'
  return text(low) === text(high)
    ? `${text(high)}\u00a0${name}`
    : `${text(low)} to ${text(high)}\u00a0${name}`
}

/** What a bare number means in a field. */
export type Bare = 'm' | 'cm' | 'ft' | 'in'

/** The unit of a bare number where a spacing is written. */
export const bareSpacing = (unit: LengthUnit): Bare => (unit === 'm' ? 'cm' : 'in')

const METRES: Readonly<Record<string, number>> = {
  m: 1,
  cm: 0.01,
  mm: 0.001,
  ft: FOOT_M,
  foot: FOOT_M,
  feet: FOOT_M,
  "'": FOOT_M,
  '’': FOOT_M,
  in: INCH_M,
  inch: INCH_M,
  inches: INCH_M,
  '"': INCH_M,
  '”': INCH_M,
}
const FRACTIONS: Readonly<Record<string, string>> = { '¼': '.25', '½': '.5', '¾': '.75' }
const PART = /^(\d+(?:\.\d+)?|\.\d+)\s*([a-z]+|['’"”])?\s*/

/**
 * A length as people write it: '1.2', '1,2 m', '40 cm', '16 in', '4 ft 6 in', 4'6", '15¾'. A bare number is in the field's
 * own unit; after feet it is inches.
 *
 * @returns metres; null: no length
 */
export function lengthIn(text: string, bare: Bare): number | null {
  let rest = text
    .trim()
    .toLowerCase()
    .replace(',', '.')
    .replace(/[¼½¾]/g, (glyph) => FRACTIONS[glyph] ?? '')
  let lengthM: number | null = null
  let last: number | null = null
  while (rest !== '') {
    const found = PART.exec(rest)
    if (found === null) return null
    const each: number | undefined =
      found[2] === undefined ? (last === FOOT_M ? INCH_M : METRES[bare]) : METRES[found[2]]
    // from large to small, as on a tape: '6 in 4 ft' is a slip
    if (each === undefined || (last !== null && each >= last)) return null
    lengthM = (lengthM ?? 0) + Number(found[1]) * each
    last = each
    rest = rest.slice(found[0].length)
  }
  return lengthM === null || !Number.isFinite(lengthM) ? null : lengthM
}

/** A sentence of the hub, which measures in metres, with its lengths in the reader's unit: '3 to 5 cm' is '1¼ to 2 in'. */
export function lengthsInText(text: string, unit: LengthUnit): string {
  if (unit === 'm') return text
  return text.replace(
    /(?:(\d+(?:\.\d+)?)( to | and | or |–))?(\d+(?:\.\d+)?)[\s\u00a0](cm|m)\b/g,
    (_, from: string | undefined, between: string, to: string, name: string) => {
      const shown = (number: string): string => feetText(Number(number) * (name === 'cm' ? 0.01 : 1))
      const end = shown(to)
      if (from === undefined) return end
      const start = shown(from)
      // the unit is said once where it is the same
      const isBothInches = /^[^ ]+\u00a0in$/.test(start) && /^[^ ]+\u00a0in$/.test(end)
      return `${isBothInches ? start.replace('\u00a0in', '') : start}${between}${end}`
    },
  )
}
