/**
 * What goes along with heavy heads and with light ones, among plantings of one crop. It counts pairs and says how often chance
 * alone would do as well; it finds no causes, and where weights hardly differ it says nothing. Pure; the order in which the
 * plantings come does not matter.
 */
import type { FactorBeside, HeadComparison, HeadFactor } from '../../../shared/api/review.js'
import { comparisonWords, factorWords } from './head-words.js'
import { rankAgreement } from './rank-agreement.js'

export interface WeighedPlanting {
  readonly id: string
  readonly weightPerHeadKg: number
  readonly weighedHeads: number
  /** null: the journal, or the readings, do not say */
  readonly factors: Readonly<Record<HeadFactor, number | null>>
}

/**
 * Weights that lie closer together say nothing: heads side by side in one row differ as much. No source: a judgement, meant
 * to keep quiet rather than to speak too soon.
 */
const LEAST_SPREAD = 0.15

/** Nearly every pair: four in five. A judgement as well. */
const GOES_ALONG = 0.8

interface FactorKind {
  readonly label: string
  /** plantings that lie closer together than this did not differ in it */
  readonly leastRange: number
}

const FACTORS: Readonly<Record<HeadFactor, FactorKind>> = {
  sun: { label: 'sun a day while they formed, h', leastRange: 0.5 },
  warmth: { label: 'mean temperature while they formed, °C', leastRange: 0.5 },
  heat: { label: 'heat dose, h above the crop’s limit', leastRange: 5 },
  chill: { label: 'chill dose, days', leastRange: 2 },
  spacing: { label: 'room between plants, cm', leastRange: 2 },
  start: { label: 'begun, day of the year', leastRange: 5 },
  feeding: { label: 'times fed', leastRange: 1 },
  watering: { label: 'times watered', leastRange: 1 },
}

const FACTOR_NAMES: readonly HeadFactor[] = [
  'sun',
  'warmth',
  'heat',
  'chill',
  'spacing',
  'start',
  'feeding',
  'watering',
]

/** @returns null where fewer than two plantings were weighed */
export function compareHeads(
  crop: { readonly id: string; readonly name: string },
  plantings: readonly WeighedPlanting[],
): HeadComparison | null {
  if (plantings.length < 2) return null
  const ranked = [...plantings].sort(
    (a, b) => b.weightPerHeadKg - a.weightPerHeadKg || (a.id < b.id ? -1 : 1),
  )
  const isDifferent = spreadOf(ranked) >= LEAST_SPREAD
  const factors = FACTOR_NAMES.flatMap((factor) => besides(ranked, factor, isDifferent) ?? [])
  return {
    crop: crop.id,
    cropName: crop.name,
    plantings: ranked.map(({ id }) => id),
    weightPerHeadKg: ranked.map(({ weightPerHeadKg }) => weightPerHeadKg),
    weighedHeads: ranked.map(({ weighedHeads }) => weighedHeads),
    factors,
    words: comparisonWords(ranked.length, isDifferent, factors),
  }
}

/** From lightest to heaviest, against their mean. */
function spreadOf(ranked: readonly WeighedPlanting[]): number {
  const weights = ranked.map(({ weightPerHeadKg }) => weightPerHeadKg)
  const meanKg = weights.reduce((sum, kg) => sum + kg, 0) / weights.length
  return (weights[0]! - weights.at(-1)!) / meanKg
}

/** Null for what is known of fewer than two of them. */
function besides(
  ranked: readonly WeighedPlanting[],
  factor: HeadFactor,
  isDifferent: boolean,
): FactorBeside | null {
  const { label, leastRange } = FACTORS[factor]
  const values = ranked.map(({ factors }) => factors[factor])
  const known = ranked.flatMap(({ weightPerHeadKg, factors }) => {
    const value = factors[factor]
    return value === null ? [] : [{ weightPerHeadKg, value }]
  })
  if (known.length < 2) return null
  // a journal that never speaks of it says nothing, rather than never
  if ((factor === 'feeding' || factor === 'watering') && known.every(({ value }) => value === 0)) return null
  const seen = known.map(({ value }) => value)
  const hasRange = Math.max(...seen) - Math.min(...seen) >= leastRange
  const { alike, contrary, chance } = rankAgreement(
    known.map(({ weightPerHeadKg }) => weightPerHeadKg),
    seen,
  )
  const pairs = (known.length * (known.length - 1)) / 2
  const goesAlong =
    isDifferent && hasRange && known.length >= 3 && Math.max(alike, contrary) >= GOES_ALONG * pairs
  const found = {
    factor,
    label,
    values,
    pairsMore: alike,
    pairsLess: contrary,
    chance: hasRange ? chance : null,
    goesAlong,
  }
  return { ...found, words: factorWords(found, pairs, hasRange) }
}
