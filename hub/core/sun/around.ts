/** Mean, lowest and highest value, and number of values, in a window of time around each reading, in one pass. */
export interface Around {
  /** NaN where the window holds no reading */
  readonly mean: Float64Array
  readonly lowest: Float64Array
  readonly highest: Float64Array
  /** readings in the window */
  readonly count: Float64Array
}

/**
 * @param timeMs  ascending
 * @param value   same length; NaN is left out. Whole numbers, so that the running sum is exact: a day fed reading
 *                by reading then comes out the same as a season at once
 * @param halfMs  the window reaches this far to each side, both ends included
 */
export function around(timeMs: Float64Array, value: Float64Array, halfMs: number): Around {
  const n = timeMs.length
  const mean = new Float64Array(n)
  const lowest = new Float64Array(n)
  const highest = new Float64Array(n)
  const counts = new Float64Array(n)
  // queues of indices whose values fall (for the highest) or rise (for the lowest) from head to tail
  const rising = new Int32Array(n)
  const falling = new Int32Array(n)
  let risingHead = 0
  let risingTail = 0
  let fallingHead = 0
  let fallingTail = 0
  let sum = 0
  let count = 0
  let out = 0
  let next = 0
  for (let i = 0; i < n; i++) {
    const fromMs = timeMs[i]! - halfMs
    const toMs = timeMs[i]! + halfMs
    for (; next < n && timeMs[next]! <= toMs; next++) {
      const entering = value[next]!
      if (Number.isNaN(entering)) continue
      sum += entering
      count++
      while (risingTail > risingHead && value[rising[risingTail - 1]!]! >= entering) risingTail--
      rising[risingTail++] = next
      while (fallingTail > fallingHead && value[falling[fallingTail - 1]!]! <= entering) fallingTail--
      falling[fallingTail++] = next
    }
    for (; timeMs[out]! < fromMs; out++) {
      const leaving = value[out]!
      if (Number.isNaN(leaving)) continue
      sum -= leaving
      count--
      if (rising[risingHead] === out) risingHead++
      if (falling[fallingHead] === out) fallingHead++
    }
    counts[i] = count
    mean[i] = count > 0 ? sum / count : Number.NaN
    lowest[i] = count > 0 ? value[rising[risingHead]!]! : Number.NaN
    highest[i] = count > 0 ? value[falling[fallingHead]!]! : Number.NaN
  }
  return { mean, lowest, highest, count: counts }
}
