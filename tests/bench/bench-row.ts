/** One line of the benchmark's table. Timings of one machine say little; ratios within one run say more. */
export interface BenchRow {
  readonly name: string
  readonly value: number
  readonly unit: string
  /** name of the row of the same run that this one is compared with; null: it is the yardstick itself */
  readonly ratioTo: string | null
}

export function median(values: readonly number[]): number {
  if (values.length === 0) throw new RangeError('no median of nothing')
  const sorted = [...values].sort((a, b) => a - b)
  const middle = sorted.length >> 1
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2
}
