/**
 * The chance of a run of hot days. Errors of neighbouring days are alike, so the days' chances must not simply be
 * multiplied: they follow a chain in which each day's error depends on the day before (a first-order autoregression,
 * which is what the errors of growing lead of a persistence-like forecast are).
 */
import { chanceAbove, normalCdf, type TemperatureOdds } from './normal-odds.js'

export interface WarmSpell {
  /** a day is hot when its maximum is above this, °C */
  readonly thresholdC: number
  /** so many hot days in a row make a spell */
  readonly spellDays: number
  /** hot days in a row up to and including the last measured day */
  readonly hotDaysBefore: number
}

export interface SpellOdds {
  /** by day: chance that the spell is reached on it or before (its spellDays-th hot day in a row) */
  readonly reachedBy: readonly number[]
  /** by day: chance that this day is hot */
  readonly hot: readonly number[]
  /** by day: chance that this and every day before it is hot */
  readonly hotSinceFirst: readonly number[]
}

/**
 * From this chance that a spell is reached within three days it is worth saying so: the lowest at which no more false
 * alarms are raised than by warning whenever a day was hot (Seattle 2012–2015, Manhattan, Kansas, 2003–2017), so that
 * hardly a spell is missed. From one half it is `Likely` in the sense of CAP 1.2.
 */
export const POSSIBLE_SPELL_CHANCE = 0.2
export const LIKELY_SPELL_CHANCE = 0.5
/**
 * In a bed's first season odds rest on beliefs. On a garden's first eight months (Winters 2008) warnings of warm spells
 * from a chance of 0.2, 0.3, 0.4 and 0.5 were false alarms in 54, 45, 29 and 17 % of cases; they told of all, all, and
 * ten and ten of eleven spells, 2.6 to 1.7 days ahead (`npm run accuracy`).
 */
export const FIRST_SEASON_CHANCE = 0.4

/** The chance from which to speak. @param possible  in a garden whose odds can be taken at their word */
export const worthTelling = (isFirstSeason: boolean, possible = POSSIBLE_SPELL_CHANCE): number =>
  isFirstSeason ? Math.max(possible, FIRST_SEASON_CHANCE) : possible

/** Beyond these the chance of a run of days is not worth telling (bed-outlook.ts: the bed's own days reach three). */
const MOST_LEAD_DAYS = 5

/** Index of the last day of a forecast that is worth telling; -1: none is. */
export const lastTold = ({ days }: { readonly days: readonly { readonly leadDays: number }[] }): number =>
  days.findLastIndex((day) => day.leadDays <= MOST_LEAD_DAYS)

/** The standardised error is divided into cells this wide, from −5 to 5 standard deviations: good to 0.002. */
const CELL = 0.2
const EDGE = 5
const CELLS = Math.round((2 * EDGE) / CELL)

/** Chances of the cells for a normal with this mean and standard deviation; the outermost hold the tails. */
function cellChances(mean: number, sd: number): Float64Array {
  const chances = new Float64Array(CELLS)
  let below = 0
  for (let i = 0; i < CELLS; i++) {
    const upTo = i === CELLS - 1 ? 1 : normalCdf((-EDGE + (i + 1) * CELL - mean) / sd)
    chances[i] = upTo - below
    below = upTo
  }
  return chances
}

/** By cell: the part of it that is hot. */
function hotParts(odds: TemperatureOdds, thresholdC: number): Float64Array {
  const parts = new Float64Array(CELLS)
  const isCertain = odds.atLeastC !== null && odds.atLeastC > thresholdC
  const isImpossible = odds.atMostC !== null && odds.atMostC <= thresholdC
  const needed = odds.sdC === 0 ? null : (thresholdC - odds.meanC) / odds.sdC
  for (let i = 0; i < CELLS; i++) {
    if (isCertain) parts[i] = 1
    else if (isImpossible) parts[i] = 0
    else if (needed === null) parts[i] = odds.meanC > thresholdC ? 1 : 0
    else parts[i] = Math.min(Math.max((-EDGE + (i + 1) * CELL - needed) / CELL, 0), 1)
  }
  return parts
}

/**
 * @param maxima  consecutive days from the first after the last measured one
 * @param links   correlation of each day's error with the next one's, between −1 and 1; one fewer than maxima
 * @throws RangeError  lengths that do not fit, a correlation of 1 or more, a spell of less than one day
 */
export function warmSpellOdds(
  maxima: readonly TemperatureOdds[],
  links: readonly number[],
  spell: WarmSpell,
): SpellOdds {
  if (links.length !== Math.max(maxima.length - 1, 0)) {
    throw new RangeError(`${maxima.length} days need ${maxima.length - 1} links, got ${links.length}`)
  }
  if (!links.every((link) => Math.abs(link) < 1)) {
    throw new RangeError(`correlations lie between −1 and 1, got ${links.join(', ')}`)
  }
  if (!Number.isInteger(spell.spellDays) || spell.spellDays < 1) {
    throw new RangeError(`a spell has one day or more, not ${spell.spellDays}`)
  }
  const reachedBy: number[] = []
  const hot: number[] = []
  const hotSinceFirst: number[] = []
  // by length of the present run (the last entry: spell reached): chance of each cell of the day's error
  const runBefore = Math.min(Math.max(spell.hotDaysBefore, 0), spell.spellDays - 1)
  let runs: Float64Array[] = Array.from({ length: spell.spellDays + 1 }, () => new Float64Array(CELLS))
  let unbroken: Float64Array = new Float64Array(CELLS)
  for (const [day, odds] of maxima.entries()) {
    const parts = hotParts(odds, spell.thresholdC)
    const step = day === 0 ? null : transition(links[day - 1]!)
    const arrived =
      step === null ? firstDay(runs.length, runBefore) : runs.map((chances) => nextDay(chances, step))
    const allHotSoFar = step === null ? cellChances(0, 1) : nextDay(unbroken, step)
    runs = stepRuns(arrived, parts, spell.spellDays)
    unbroken = allHotSoFar.map((chance, cell) => chance * parts[cell]!)
    reachedBy.push(total(runs[spell.spellDays]!))
    hot.push(chanceAbove(odds, spell.thresholdC))
    hotSinceFirst.push(total(unbroken))
  }
  return { reachedBy, hot, hotSinceFirst }
}

function firstDay(lengths: number, runBefore: number): Float64Array[] {
  return Array.from({ length: lengths }, (_, run) =>
    run === runBefore ? cellChances(0, 1) : new Float64Array(CELLS),
  )
}

/** By cell of one day's error: chances of the next day's cells. */
function transition(link: number): Float64Array[] {
  const sd = Math.sqrt(1 - link * link)
  return Array.from({ length: CELLS }, (_, from) => cellChances(link * (-EDGE + (from + 0.5) * CELL), sd))
}

function nextDay(chances: Float64Array, step: readonly Float64Array[]): Float64Array {
  const next = new Float64Array(CELLS)
  for (const [from, chance] of chances.entries()) {
    if (chance < 1e-12) continue
    const spread = step[from]!
    for (let to = 0; to < CELLS; to++) next[to]! += chance * spread[to]!
  }
  return next
}

/** A hot day lengthens the run, any other ends it; a spell once reached stays reached. */
function stepRuns(arrived: readonly Float64Array[], parts: Float64Array, spellDays: number): Float64Array[] {
  const runs = arrived.map(() => new Float64Array(CELLS))
  for (const [run, chances] of arrived.entries()) {
    for (let cell = 0; cell < CELLS; cell++) {
      const chance = chances[cell]!
      if (run === spellDays) {
        runs[run]![cell]! += chance
        continue
      }
      const hot = chance * parts[cell]!
      runs[run + 1]![cell]! += hot
      runs[0]![cell]! += chance - hot
    }
  }
  return runs
}

const total = (chances: Float64Array): number =>
  Math.min(
    chances.reduce((sum, chance) => sum + chance, 0),
    1,
  )

/** Hot days in a row at the end of a series of daily maxima; an unmeasured day (null) ends the run. */
export function hotRunAtEnd(maximaC: readonly (number | null)[], thresholdC: number): number {
  let run = 0
  for (let i = maximaC.length - 1; i >= 0; i--) {
    const maxC = maximaC[i]
    if (maxC === null || maxC === undefined || maxC <= thresholdC) break
    run++
  }
  return run
}
