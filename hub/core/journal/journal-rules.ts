/**
 * What an entry of the journal must be like beyond its form: of something that is there, with the figures that go with its
 * kind, on a day on which it can have been. Pure; each problem stands at its field, in words for a page.
 */
import type { Planting } from '../../../shared/api/garden.js'
import type { JournalEntry, JournalInput, JournalKind } from '../../../shared/api/journal.js'
import type { Crop } from '../crops/crop.js'
import { isPickedOver } from '../crops/standing.js'
import { counted } from '../words.js'

export interface JournalProblem {
  readonly field: keyof JournalInput
  readonly message: string
}

/** What is known of what the entry speaks of. */
export interface JournalSurroundings {
  /** the garden's date */
  readonly today: string
  /** null: none is named, or there is none such */
  readonly planting: Planting | null
  /** the planting's; null: there is none, or nobody knows it any more */
  readonly crop: Harvested | null
  /** does the garden have the bed that is named? */
  readonly hasBed: boolean
  /** the planting's other entries */
  readonly others: readonly JournalEntry[]
}

type Harvested = Pick<Crop, 'forms'>

const FIRST_DATE = '2000-01-01'

/** Can be done to a bed, or to the garden. All else is of a planting. */
const WITHOUT_PLANTING: ReadonlySet<JournalKind> = new Set([
  'fed',
  'watered',
  'weeded',
  'netted',
  'net-off',
  'pests-seen',
  'note',
])
/** Is done to a bed before anything stands in it, too. */
const BEFORE_SOWING: ReadonlySet<JournalKind> = new Set([
  'sown',
  'fed',
  'watered',
  'weeded',
  'netted',
  'net-off',
  'note',
])
/** Of young plants, which may have been raised without a date of sowing. */
const OF_YOUNG: ReadonlySet<JournalKind> = new Set([
  'pricked-out',
  'hardened-off',
  'planted-out',
  'emerged',
  'first-leaves',
  'pests-seen',
  'bolted',
  'lost',
])
/** More seeds and seedlings are raised than plants are wanted. */
const MORE_THAN_PLANTED: ReadonlySet<JournalKind> = new Set([
  'sown',
  'emerged',
  'first-leaves',
  'pricked-out',
  'hardened-off',
  'planted-out',
])
/** A plant that was lost is gone, and one that was cut unless its kind is picked over. */
const isGone = (kind: JournalKind, crop: Harvested | null): boolean =>
  kind === 'lost' || (kind === 'cut' && !(crop !== null && isPickedOver(crop)))

const DONE: Readonly<Record<JournalKind, string>> = {
  sown: 'sown',
  'pricked-out': 'pricked out',
  'hardened-off': 'hardened off',
  'planted-out': 'planted out',
  fed: 'fed',
  watered: 'watered',
  weeded: 'weeded',
  netted: 'netted',
  'net-off': 'the net taken off',
  emerged: 'seedlings seen',
  'first-leaves': 'first leaves seen',
  'pests-seen': 'pests seen',
  'stem-thickness': 'the stem measured',
  'heads-started': 'heads seen to start',
  firmness: 'felt for firmness',
  split: 'seen split',
  bolted: 'seen bolted',
  lost: 'lost',
  cut: 'harvested',
  note: 'noted',
}

/** All that is wrong with an entry; empty: nothing. */
export function journalProblems(input: JournalInput, around: JournalSurroundings): JournalProblem[] {
  return [
    ...placeProblems(input, around),
    ...figureProblems(input),
    ...dayProblems(input, around),
    ...countProblems(input, around),
  ]
}

function placeProblems(
  { kind, planting: id, bed }: JournalInput,
  { planting, hasBed }: JournalSurroundings,
): JournalProblem[] {
  const problems: JournalProblem[] = []
  if (id !== null && planting === null) {
    problems.push({ field: 'planting', message: 'this planting is not there any more: choose another' })
  }
  if (id === null && !WITHOUT_PLANTING.has(kind)) {
    problems.push({ field: 'planting', message: 'choose the planting that this is about' })
  }
  if (bed !== null && !hasBed) {
    problems.push({ field: 'bed', message: 'this bed is not there any more: choose another' })
  } else if (bed !== null && planting !== null && planting.bed !== bed) {
    problems.push({ field: 'bed', message: 'the planting stands in another bed: leave the bed out' })
  }
  return problems
}

function figureProblems(input: JournalInput): JournalProblem[] {
  const { kind, firmness, stemMm, weightKg, diameterMm } = input
  const problems: JournalProblem[] = []
  if (kind === 'firmness' && firmness === null) {
    problems.push({ field: 'firmness', message: 'say how it felt: soft, giving or firm' })
  }
  if (kind !== 'firmness' && firmness !== null) {
    problems.push({ field: 'firmness', message: 'goes with “firmness felt” only: leave it out here' })
  }
  if (kind === 'stem-thickness' && stemMm === null) {
    problems.push({ field: 'stemMm', message: 'give the thickness that you measured' })
  }
  if (kind !== 'stem-thickness' && stemMm !== null) {
    problems.push({ field: 'stemMm', message: 'goes with “stem thickness” only: leave it out here' })
  }
  if (kind !== 'cut' && weightKg !== null) {
    problems.push({ field: 'weightKg', message: 'goes with what was cut only: leave it out here' })
  }
  if (kind !== 'cut' && kind !== 'firmness' && kind !== 'split' && diameterMm !== null) {
    problems.push({ field: 'diameterMm', message: 'goes with a head cut, felt or split: leave it out here' })
  }
  return problems
}

function dayProblems({ kind, on }: JournalInput, { today, planting }: JournalSurroundings): JournalProblem[] {
  const problem = (message: string): JournalProblem[] => [{ field: 'on', message }]
  if (on > today) return problem(`${on} is still to come: write it down when it is done`)
  if (on < FIRST_DATE) return problem(`use a date from ${FIRST_DATE} on`)
  if (planting === null) return []
  const { sownOn, plantedOutOn, finishedOn } = planting
  if (finishedOn !== null && on > finishedOn && kind !== 'note') {
    return problem(
      `${DONE[kind]} after the planting was finished on ${finishedOn}: check the date, or the planting’s own`,
    )
  }
  if (sownOn !== null && on < sownOn && !BEFORE_SOWING.has(kind)) {
    return problem(
      sownOn > today
        ? `${DONE[kind]} before sowing: it is to be sown on ${sownOn}. Write down first that it is sown`
        : `${DONE[kind]} before sowing: it was sown on ${sownOn}. Check both dates`,
    )
  }
  const isOfGrown = !BEFORE_SOWING.has(kind) && !OF_YOUNG.has(kind)
  if (plantedOutOn !== null && on < plantedOutOn && isOfGrown) {
    return problem(
      plantedOutOn > today
        ? `${DONE[kind]} before planting out: that is planned for ${plantedOutOn}. Write down first that it is planted out`
        : `${DONE[kind]} before planting out: that was on ${plantedOutOn}. Check both dates`,
    )
  }
  if (kind === 'sown' && plantedOutOn !== null && on > plantedOutOn) {
    return problem(
      `sown after planting out on ${plantedOutOn}: check the date, or change that of the planting`,
    )
  }
  return []
}

function countProblems(
  { kind, plants }: JournalInput,
  { planting, crop, others }: JournalSurroundings,
): JournalProblem[] {
  if (plants === null || planting === null || MORE_THAN_PLANTED.has(kind)) return []
  if (plants > planting.plants) {
    return [{ field: 'plants', message: `the planting has ${counted(planting.plants, 'plant')} in all` }]
  }
  if (!isGone(kind, crop)) return []
  const gone = plantsGone(others, crop)
  if (gone + plants <= planting.plants) return []
  const left = Math.max(0, planting.plants - gone)
  return [
    {
      field: 'plants',
      message: `${gone} of ${planting.plants} are ${isGone('cut', crop) ? 'cut or lost' : 'lost'} already: ${left === 0 ? 'none is' : `${left} ${left === 1 ? 'is' : 'are'}`} left`,
    },
  ]
}

export interface AllGone {
  readonly on: string
  /** some of them were cut; else all were lost */
  readonly wasCut: boolean
}

/**
 * When the last plant of a planting was cut or lost, by the numbers in its entries; null: some stand, or may.
 *
 * @param crop     null: nobody knows it any more
 * @param entries  of the planting, by date
 */
export function allGone(
  plants: number,
  crop: Harvested | null,
  entries: readonly JournalEntry[],
): AllGone | null {
  let gone = 0
  for (const entry of entries) {
    gone += plantsGone([entry], crop)
    if (gone >= plants) return { on: entry.on, wasCut: entries.some(({ kind }) => kind === 'cut') }
  }
  return null
}

/** How many plants entries say are gone; those that name no number are not counted. */
const plantsGone = (
  entries: readonly Pick<JournalEntry, 'kind' | 'plants'>[],
  crop: Harvested | null,
): number => entries.reduce((sum, { kind, plants }) => sum + (isGone(kind, crop) ? (plants ?? 0) : 0), 0)
