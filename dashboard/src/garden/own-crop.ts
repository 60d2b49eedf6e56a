/** A crop of the grower's own: what its form holds, and what is sent for it. Pure. */
import type { GardenCrop, GardenCropInput } from '../../../shared/api/crops.js'

/** The form's name of an adjustable number, as the hub names it in its problems. */
export const adjustmentField = (field: string): string => `adjustments.${field}`

/** Numbers that go with the time a crop takes. */
const OF_TIME: ReadonlySet<string> = new Set([
  'degreeDaysToHeading',
  'degreeDaysToReady',
  'degreeDaysToFinished',
])

/** Days to ready as the library has them; null: it has none. */
export const packetDaysOf = ({ figures }: Pick<GardenCrop, 'figures'>): number | null =>
  figures.find(({ name, unit }) => unit === 'd' && /^days from .* to ready/.test(name))?.value ?? null

/**
 * What is sent: numbers typed in, and from the packet's days the warmth to each stage, in the library's proportion, where that was
 * not typed itself.
 *
 * @param packetDays  null: as the crop it is made from
 * @param typed       by the hub's names of the numbers; null: left empty
 */
export function ownCropInput(
  base: GardenCrop,
  name: string,
  packetDays: number | null,
  typed: ReadonlyMap<string, number | null>,
): GardenCropInput {
  const usual = packetDaysOf(base)
  const part = packetDays === null || usual === null ? null : packetDays / usual
  const adjustments: Record<string, number> = {}
  for (const { field, libraryValue } of base.adjustable) {
    const value =
      typed.get(field) ?? (part === null || !OF_TIME.has(field) ? null : Math.round(libraryValue * part))
    if (value !== null) adjustments[field] = value
  }
  return { basedOn: base.basedOn, name, adjustments }
}
