/**
 * What size of head a spacing lets grow. A stand that covers the ground yields about the same weight from each square metre
 * however many plants share it (the law of constant final yield: Kira, Ogawa & Sakazaki 1953, J. Inst. Polytech. Osaka City
 * Univ. D 4:1), so a head grows with the area its plant has, up to what its kind can.
 */
import type { Crop, Sourced } from '../crops/crop.js'
import { derived, fromPractice, published } from '../crops/crop.js'

/** The anchor: cabbage of Kalorama F1 at 45 × 40 cm, best for heads of 1.0 to 2.0 kg. */
const ANCHOR_M2 = 0.45 * 0.4
const ANCHOR_KG = { low: 1, high: 2 }
const ANCHOR_NOTE =
  'heads of 1 to 2 kg at 45 × 40 cm (Kołota & Chohura, Acta Sci. Pol. Hort. Cult.), in proportion to the ground each plant has (constant final yield, Kira et al. 1953)'

/**
 * Closer than this in the row heads stay under a kilogram and are uneven.
 * At 23 cm and more trimmed heads weighed over 1 kg and differed by less than 20 % (coefficient of variation).
 */
export const CLOSEST_CABBAGE_M = published(
  0.23,
  'at 23 cm and more in the row heads weighed over 1 kg and were even, closer they did not (Stoffella & Fleming 1990, J. Amer. Soc. Hort. Sci. 115:708)',
)

/** The heaviest head that a usual plant of a kind makes, however much room it has, kg. */
const LARGEST_KG: ReadonlyMap<string, Sourced> = new Map([
  ['cabbage-early', fromPractice(1.8, 'small, early kinds: 2 to 4 lb')],
  ['cabbage-mid', fromPractice(3, 'middling kinds: 4 to 7 lb')],
  ['cabbage-savoy', fromPractice(2.5, 'savoys: 3 to 6 lb')],
  ['cabbage-storage', fromPractice(4.5, 'storage kinds: 5 to 10 lb')],
  ['cabbage-giant', fromPractice(12, 'giant kinds: 15 to 30 lb')],
])

/** A cut, firm head floats well out of the water: about 0.7 kg to the litre. From memory; a guess to picture the size by. */
const KG_A_LITRE = 0.7

export interface HeadSize {
  readonly lowKg: Sourced
  readonly highKg: Sourced
  /** across, of a round head of that weight, m */
  readonly lowM: number
  readonly highM: number
}

/** Ground that each plant of a pattern has, m²: a square, or the smaller rhomb of the triangle. */
export const groundPerPlantM2 = (spacingM: number, pattern: 'square' | 'offset'): number =>
  spacingM ** 2 * (pattern === 'square' ? 1 : Math.sqrt(0.75))

/**
 * Head size to expect in good soil with water and sun.
 *
 * @param perPlantM2  ground that each plant has
 * @param crop        `basedOn` for a crop of the garden's own
 * @returns null for crops of which no trial of spacing is at hand: say "closer is smaller" and no number
 */
export function headSize(crop: Pick<Crop, 'id'>, perPlantM2: number): HeadSize | null {
  const largest = LARGEST_KG.get(crop.id)
  if (largest === undefined) return null
  const scaled = (kg: number): Sourced =>
    (perPlantM2 / ANCHOR_M2) * kg >= largest.value
      ? largest
      : derived((perPlantM2 / ANCHOR_M2) * kg, ANCHOR_NOTE)
  const lowKg = scaled(ANCHOR_KG.low)
  const highKg = scaled(ANCHOR_KG.high)
  return { lowKg, highKg, lowM: acrossM(lowKg.value), highM: acrossM(highKg.value) }
}

const acrossM = (kg: number): number => Math.cbrt((6 * kg) / KG_A_LITRE / Math.PI) / 10
