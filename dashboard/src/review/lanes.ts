/**
 * Geometry of the lanes that share one time axis: bars, bands and lines of days as single paths, so that years of days stay a
 * handful of elements. Pure.
 */

/** From day and value to the plot, px. */
export interface Lane {
  readonly days: number
  readonly width: number
  /** top and bottom edge */
  readonly top: number
  readonly bottom: number
  /** value at the bottom and at the top */
  readonly low: number
  readonly high: number
}

const px = (value: number): string => value.toFixed(1)

export const dayX = ({ days, width }: Pick<Lane, 'days' | 'width'>, at: number): number => (at / days) * width

export const laneY = ({ top, bottom, low, high }: Omit<Lane, 'days' | 'width'>, value: number): number =>
  bottom - ((value - low) / (high - low)) * (bottom - top)

/** A bar a day, as wide as the day but for a hair; nothing where nothing is known. */
export function barsPath(lane: Lane, values: readonly (number | null)[]): string {
  const each = lane.width / lane.days
  const gap = each > 3 ? 0.8 : 0
  const base = laneY(lane, Math.max(0, lane.low))
  let path = ''
  values.forEach((value, i) => {
    if (value === null || value === 0) return
    path += `M${px(dayX(lane, i))} ${px(base)}V${px(laneY(lane, value))}h${px(Math.max(0.6, each - gap))}V${px(base)}Z`
  })
  return path
}

/** Steps along the tops of the days. */
export function stepsPath(lane: Lane, values: readonly (number | null)[]): string {
  let path = ''
  let isOpen = false
  values.forEach((value, i) => {
    if (value !== null) {
      path += `${isOpen ? 'L' : 'M'}${px(dayX(lane, i))} ${px(laneY(lane, value))}H${px(dayX(lane, i + 1))}`
    }
    isOpen = value !== null
  })
  return path
}

/** A line through the middles of the days, broken where nothing is known. */
export function linePath(lane: Lane, values: readonly (number | null)[]): string {
  let path = ''
  let isOpen = false
  values.forEach((value, i) => {
    if (value !== null) path += `${isOpen ? 'L' : 'M'}${px(dayX(lane, i + 0.5))} ${px(laneY(lane, value))}`
    isOpen = value !== null
  })
  return path
}

/** From lowest to highest of each day. */
export function bandPath(
  lane: Lane,
  low: readonly (number | null)[],
  high: readonly (number | null)[],
): string {
  const each = Math.max(0.6, lane.width / lane.days)
  let path = ''
  low.forEach((value, i) => {
    const top = high[i] ?? null
    if (value === null || top === null) return
    path += `M${px(dayX(lane, i))} ${px(laneY(lane, value))}V${px(laneY(lane, top))}h${px(each)}V${px(laneY(lane, value))}Z`
  })
  return path
}

/** Lowest and highest of what is there, opened to whole steps. */
export function extentOf(
  columns: readonly (readonly (number | null)[])[],
  step: number,
): { readonly low: number; readonly high: number } {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (const column of columns) {
    for (const value of column) {
      if (value === null) continue
      if (value < low) low = value
      if (value > high) high = value
    }
  }
  if (low > high) return { low: 0, high: step }
  low = Math.floor(low / step) * step
  high = Math.ceil(high / step) * step
  return { low, high: high === low ? low + step : high }
}

/** Marks along an axis put into rows, so that none lies over another. Those for which there is no row have none. */
export function rowsFor(
  marks: readonly { readonly x: number; readonly width: number }[],
  rows: number,
): (number | null)[] {
  const taken = new Array<number>(rows).fill(Number.NEGATIVE_INFINITY)
  return marks.map(({ x, width }) => {
    const row = taken.findIndex((end) => end <= x)
    if (row < 0) return null
    taken[row] = x + width
    return row
  })
}
