/** Thresholds of day records that a crop asks for. */
import type { Crop } from '../core/crops/crop.js'
import { CROPS } from '../core/crops/library.js'
import { type DayOptions, DEFAULT_DAY_OPTIONS } from '../core/days/day-record.js'

/** Degree days between the crop's own temperatures, heat hours above its own limit. */
export function cropDayOptions(crop: Crop): DayOptions {
  return {
    ...DEFAULT_DAY_OPTIONS,
    baseC: crop.baseC.value,
    upperC: crop.upperC.value,
    heatAboveC: crop.heat?.aboveC.value ?? DEFAULT_DAY_OPTIONS.heatAboveC,
  }
}

/** Options as text: equal options, equal text. */
export const optionsText = (options: DayOptions): string =>
  JSON.stringify(Object.entries(options).sort(([a], [b]) => (a < b ? -1 : 1)))

/** Options asked for again and again, whose records are worth keeping: the default and the crops'. */
const KEPT: ReadonlySet<string> = new Set(
  [DEFAULT_DAY_OPTIONS, ...[...CROPS.values()].map(cropDayOptions)].map(optionsText),
)

export const areKept = (options: DayOptions): boolean => KEPT.has(optionsText(options))
