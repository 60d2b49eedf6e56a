/** The comparison of heads in sentences. They tell what went along with what, and never why. Pure. */
import type { FactorBeside, HeadFactor } from '../../../shared/api/review.js'
import { capital, list } from '../words.js'

/** What is said of the heavier heads, by factor. */
const MORE: Readonly<Record<HeadFactor, string>> = {
  sun: 'had more sun while they formed',
  warmth: 'formed in warmer weather',
  heat: 'took more heat',
  chill: 'took more chill',
  spacing: 'stood wider apart',
  start: 'were begun later in the season',
  feeding: 'were fed more often',
  watering: 'were watered more often',
}
const LESS: Readonly<Record<HeadFactor, string>> = {
  sun: 'had less sun while they formed',
  warmth: 'formed in cooler weather',
  heat: 'took less heat',
  chill: 'took less chill',
  spacing: 'stood closer together',
  start: 'were begun earlier in the season',
  feeding: 'were fed less often',
  watering: 'were watered less often',
}
const NAMES: Readonly<Record<HeadFactor, string>> = {
  sun: 'sun',
  warmth: 'mean temperature',
  heat: 'heat',
  chill: 'chill',
  spacing: 'spacing',
  start: 'time of year',
  feeding: 'feeding',
  watering: 'watering',
}

const NUMBERS = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight']

/** How often in so many: 'about 1 time in 12'; never 'never'. */
export function chanceWords(chance: number): string {
  if (chance >= 0.5) return 'more often than not'
  const times = Math.floor(1 / chance + 1e-9)
  return times > 10_000 ? 'less than 1 time in 10000' : `about 1 time in ${times}`
}

export function factorWords(
  { factor, pairsMore, pairsLess, chance, goesAlong }: Omit<FactorBeside, 'words'>,
  pairs: number,
  hasRange: boolean,
): string {
  if (!hasRange) return `In ${NAMES[factor]} they hardly differed.`
  if (!goesAlong || chance === null) {
    return `${capital(NAMES[factor])}: more of it with the heavier heads in ${pairsMore} of ${pairs} pairs, less in ${pairsLess}.`
  }
  const isMore = pairsMore > pairsLess
  return (
    `In ${Math.max(pairsMore, pairsLess)} of ${pairs} pairs the heavier heads ${(isMore ? MORE : LESS)[factor]}; ` +
    `shuffled at random these plantings would line up as well ${chanceWords(chance)}.`
  )
}

/** Sentences for all of it, the first the one to read. */
export function comparisonWords(
  plantings: number,
  isDifferent: boolean,
  factors: readonly FactorBeside[],
): string[] {
  if (!isDifferent) {
    return ['The heads of these plantings weighed about the same: there is no difference to look into.']
  }
  if (plantings < 3) {
    return [
      'Two plantings can be put side by side and read, but they show nothing: any two differ in nearly everything.',
    ]
  }
  const along = factors.filter(({ goesAlong }) => goesAlong)
  const orders = factorial(plantings) / 2
  const caution =
    `${plantings} plantings are few: even a perfect order comes about by chance ${chanceWords(1 / orders)}, ` +
    `and ${factors.length} things were looked at, so that one may well line up by itself.`
  if (along.length === 0) {
    return ['Nothing looked at here goes along with the weight of the heads in nearly every pair.', caution]
  }
  const names = along.map(({ factor }) => NAMES[factor])
  const lead =
    along.length === 1
      ? `One thing went along with the weight of the heads: ${names[0]}.`
      : `${capital(NUMBERS[along.length] ?? String(along.length))} things went along with the weight of the heads: ${list(names)}. Which of them mattered, if any did, these plantings cannot tell: they came together.`
  return [
    lead,
    ...along.map(({ words }) => words),
    caution,
    `Other explanations stay open: ${list([...others(along), 'soil', 'pests', 'the variety', 'how ripe each was when it was cut'])}.`,
  ]
}

/** What a grower would think of first, where it is not among what went along already. */
function others(along: readonly FactorBeside[]): string[] {
  const named = new Set(along.map(({ factor }) => factor))
  const usual: readonly HeadFactor[] = ['spacing', 'feeding', 'watering']
  return usual.filter((factor) => !named.has(factor)).map((factor) => NAMES[factor])
}

const factorial = (n: number): number => (n < 2 ? 1 : n * factorial(n - 1))
