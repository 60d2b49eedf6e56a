/**
 * Do two rankings agree, and how often would chance alone do as well? By pairs (Kendall 1938, Biometrika 30:81), since a
 * garden has few plantings and no reason to expect straight lines.
 */

export interface RankAgreement {
  /** pairs in which both rank alike, and in which they rank contrary; ties count in neither */
  readonly alike: number
  readonly contrary: number
  /** part of all orders that agree, or disagree, at least as well, 0 to 1; null: fewer than three, or all tied */
  readonly chance: number | null
}

/** So many are counted out one by one; 7! = 5040. */
const MOST_COUNTED_OUT = 7

/**
 * @param first, second  values of the same things in the same order
 * @throws RangeError  if they are not equally many, or one is not finite
 */
export function rankAgreement(first: readonly number[], second: readonly number[]): RankAgreement {
  if (first.length !== second.length) {
    throw new RangeError(`two rankings of as many things, not of ${first.length} and ${second.length}`)
  }
  const odd = [...first, ...second].find((value) => !Number.isFinite(value))
  if (odd !== undefined) throw new RangeError(`a ranking needs finite values, got ${odd}`)
  const n = first.length
  let alike = 0
  let contrary = 0
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      const product = Math.sign(first[i]! - first[j]!) * Math.sign(second[i]! - second[j]!)
      if (product > 0) alike++
      else if (product < 0) contrary++
    }
  }
  const isTied = new Set(first).size === 1 || new Set(second).size === 1
  return { alike, contrary, chance: n < 3 || isTied ? null : chanceOf(first, second, alike - contrary) }
}

function chanceOf(first: readonly number[], second: readonly number[], score: number): number {
  const n = first.length
  if (n <= MOST_COUNTED_OUT) return countedOut(first, second, Math.abs(score))
  const isWithoutTies = new Set(first).size === n && new Set(second).size === n
  return isWithoutTies ? byInversions(n, Math.abs(score)) : approximate(first, second, Math.abs(score))
}

/** Every order of the second ranking is tried (Heap's way of going through permutations). */
function countedOut(first: readonly number[], second: readonly number[], atLeast: number): number {
  const n = first.length
  const signs = first.map((a) => first.map((b) => Math.sign(a - b)))
  const order = [...second]
  const turns = new Array<number>(n).fill(0)
  let orders = 0
  let asGood = 0
  const look = (): void => {
    let score = 0
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < i; j++) score += signs[i]![j]! * Math.sign(order[i]! - order[j]!)
    }
    orders++
    if (Math.abs(score) >= atLeast) asGood++
  }
  look()
  for (let i = 0; i < n; ) {
    if (turns[i]! < i) {
      const other = i % 2 === 0 ? 0 : turns[i]!
      const held = order[other]!
      order[other] = order[i]!
      order[i] = held
      look()
      turns[i] = turns[i]! + 1
      i = 0
    } else {
      turns[i] = 0
      i++
    }
  }
  return asGood / orders
}

/** Without ties: the share of permutations by their number of inversions, exact. */
function byInversions(n: number, atLeast: number): number {
  let share = [1]
  for (let size = 2; size <= n; size++) {
    const next = new Array<number>(share.length + size - 1).fill(0)
    for (const [inversions, part] of share.entries()) {
      for (let more = 0; more < size; more++) next[inversions + more]! += part / size
    }
    share = next
  }
  const pairs = (n * (n - 1)) / 2
  // a sum of shares may come out a hair above one
  return Math.min(
    1,
    share.reduce(
      (sum, part, inversions) => sum + (Math.abs(pairs - 2 * inversions) >= atLeast ? part : 0),
      0,
    ),
  )
}

/** With ties, of many: by the normal curve, its variance lessened for ties (Kendall 1970, Rank Correlation Methods, ch. 4). */
function approximate(first: readonly number[], second: readonly number[], atLeast: number): number {
  const n = first.length
  const [u, v] = [tiesOf(first), tiesOf(second)]
  const sum = (ties: readonly number[], of: (t: number) => number): number =>
    ties.reduce((total, t) => total + of(t), 0)
  const spread = (t: number): number => t * (t - 1) * (2 * t + 5)
  const variance =
    (spread(n) - sum(u, spread) - sum(v, spread)) / 18 +
    (sum(u, (t) => t * (t - 1) * (t - 2)) * sum(v, (t) => t * (t - 1) * (t - 2))) /
      (9 * n * (n - 1) * (n - 2)) +
    (sum(u, (t) => t * (t - 1)) * sum(v, (t) => t * (t - 1))) / (2 * n * (n - 1))
  // the score moves in steps: half of one for continuity
  return twoTails(Math.max(0, atLeast - 1) / Math.sqrt(variance))
}

/** Sizes of the groups that share a value. */
function tiesOf(values: readonly number[]): number[] {
  const counts = new Map<number, number>()
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1)
  return [...counts.values()]
}

/** Normal chance beyond ±z (Abramowitz & Stegun 1964, 7.1.26: within 1.5e-7). */
function twoTails(z: number): number {
  const x = z / Math.SQRT2
  const t = 1 / (1 + 0.3275911 * x)
  const poly =
    t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))))
  return poly * Math.exp(-x * x)
}
