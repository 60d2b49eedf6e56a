/** Rows, or rings, read off where plants stand: what a grower lays out with a tape. */
import type { Space, SpaceLayout } from '../../../shared/api/space.js'

export interface Row {
  /** of a row from the nearer long side (or end); of a ring from the middle, m */
  readonly atM: number
  /** its plants from the row's beginning, ascending, m; empty for rings */
  readonly alongM: readonly number[]
  readonly plants: number
}

export interface Rows {
  /** along: rows run the bed's length; across: its width; round: rings */
  readonly run: 'along' | 'across' | 'round'
  /** along, across: from the edge inwards; rings: from the rim inwards */
  readonly rows: readonly Row[]
  /** between rows, or rings; null: only one */
  readonly apartM: number | null
  /** the first row from the edge, m */
  readonly firstM: number
  /** between plants in a row; null: one a row, or rings */
  readonly stepM: number | null
  /** is every second row shifted? */
  readonly isShifted: boolean
}

/** Spots come to a tenth of a millimetre. */
const near = (a: number, b: number): boolean => Math.abs(a - b) < 0.0006

/** Groups plants by one coordinate, ascending. */
function grouped(at: readonly number[], along: readonly number[]): Row[] {
  const order = at.map((_, i) => i).sort((i, j) => at[i]! - at[j]! || along[i]! - along[j]!)
  const rows: { atM: number; alongM: number[] }[] = []
  for (const i of order) {
    const last = rows.at(-1)
    if (last !== undefined && near(last.atM, at[i]!)) last.alongM.push(along[i]!)
    else rows.push({ atM: at[i]!, alongM: [along[i]!] })
  }
  return rows.map(({ atM, alongM }) => {
    const sorted = [...alongM].sort((a, b) => a - b)
    return { atM, alongM: sorted, plants: sorted.length }
  })
}

type Sized = Pick<Space, 'lengthM' | 'widthM' | 'shape'>

/** @returns null where nothing stands, or more than anybody lays out */
export function rowsOf({ spots, pattern }: SpaceLayout, ground: Sized): Rows | null {
  if (spots === null || spots.xM.length === 0) return null
  if (pattern === 'rings') return ringsOf(spots, ground.lengthM / 2)
  const along = grouped(spots.yM, spots.xM)
  const across = grouped(spots.xM, spots.yM)
  // shifted rows have few rows and twice as many different places along them
  const isAcross = pattern === 'offset' && across.length < along.length
  const rows = isAcross ? across : along
  const [first, second] = rows
  const starts = new Set(rows.map((row) => Math.round((row.alongM[0] ?? 0) * 200)))
  return {
    run: isAcross ? 'across' : 'along',
    rows,
    apartM: first && second ? second.atM - first.atM : null,
    firstM: first?.atM ?? 0,
    stepM: stepOf(rows),
    isShifted: starts.size > 1 && ground.shape === 'rectangle',
  }
}

function stepOf(rows: readonly Row[]): number | null {
  for (const { alongM } of rows) {
    const [a, b] = alongM
    if (a !== undefined && b !== undefined) return b - a
  }
  return null
}

function ringsOf({ xM, yM }: NonNullable<SpaceLayout['spots']>, middleM: number): Rows {
  const fromMiddle = xM.map((x, i) => Math.hypot(x - middleM, yM[i]! - middleM))
  const rings = grouped(
    fromMiddle,
    fromMiddle.map(() => 0),
  )
    .reverse()
    .map(({ atM, plants }): Row => ({ atM, plants, alongM: [] }))
  const [first, second] = rings
  return {
    run: 'round',
    rows: rings,
    apartM: first && second ? first.atM - second.atM : null,
    firstM: middleM - (first?.atM ?? 0),
    stepM: null,
    isShifted: false,
  }
}
