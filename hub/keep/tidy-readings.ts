/** The readings of a tidy CSV: which columns, and when. Shared by `replay`, `import` and the page's import. */
import {
  COLUMN_QUANTITY,
  quantityOf,
  stampShiftMs,
  TidyCsvError,
  type TidyFile,
  type TidyRow,
} from './tidy-csv.js'

export interface TidyReading {
  readonly quantity: string
  /** UTC ms; the middle of what the row covers */
  readonly timeMs: number
  /** in the quantity's own unit (shared/quantities.ts) */
  readonly value: number
}

/**
 * What makes readings of a file's rows; where two columns give one quantity, the first in the file speaks.
 *
 * @throws TidyCsvError  no column that is known, or times that cannot be told
 */
export function readingsIn(name: string, { columns, meta }: TidyFile): (row: TidyRow) => TidyReading[] {
  const known = columns.filter((column) => quantityOf(column) !== undefined)
  if (known.length === 0) {
    throw new TidyCsvError(
      `${name}: no column that is known. Known: ${Object.keys(COLUMN_QUANTITY).join(', ')}. It has: ${columns.join(', ')}`,
    )
  }
  const shiftMs = stampShiftMs(name, meta)
  return ({ timeMs, values }) => {
    const readings: TidyReading[] = []
    for (const [column, value] of Object.entries(values)) {
      const quantity = quantityOf(column)
      if (quantity === undefined || readings.some((reading) => reading.quantity === quantity)) continue
      readings.push({ quantity, timeMs: timeMs + shiftMs, value })
    }
    return readings
  }
}
