/** The vertical extent of a chart: round the good figures in view, wide enough that noise does not look like weather. */
import { QUANTITIES } from '../../../shared/quantities.js'

/** Quantities whose zero means none: their axis starts there. */
const FROM_ZERO = new Set(['light', 'irradiance'])
/** A chart never magnifies more than this part of the quantity's usual range. */
const LEAST_PART = 0.3

/**
 * @param lowest, highest of the good figures in view, in the unit shown; null where there are none
 * @param convert from the stored unit to the one shown
 */
export function valueRange(
  quantity: string,
  lowest: number | null,
  highest: number | null,
  convert: (value: number) => number,
): [number, number] {
  const info = QUANTITIES.get(quantity)
  const softMin = convert(info?.softMin ?? 0)
  const softMax = convert(info?.softMax ?? 1)
  if (lowest === null || highest === null) return [softMin, softMax]
  const least =
    info === undefined ? Math.max(Math.abs(highest) * 0.1, 1e-6) : (softMax - softMin) * LEAST_PART
  if (FROM_ZERO.has(quantity)) return [Math.min(0, lowest), Math.max(highest * 1.06, least)]
  const pad = (highest - lowest) * 0.08
  const short = Math.max(0, least - (highest - lowest) - 2 * pad) / 2
  return [lowest - pad - short, highest + pad + short]
}

/** Lowest and highest of some columns between two indices; gaps and holes aside. */
export function extremes(
  columns: readonly ArrayLike<number | null | undefined>[],
  from: number,
  to: number,
): [number | null, number | null] {
  let lowest: number | null = null
  let highest: number | null = null
  for (const column of columns) {
    for (let i = Math.max(0, from); i <= to && i < column.length; i++) {
      const value = column[i]
      if (value === null || value === undefined) continue
      if (lowest === null || value < lowest) lowest = value
      if (highest === null || value > highest) highest = value
    }
  }
  return [lowest, highest]
}
