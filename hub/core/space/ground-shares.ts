/**
 * How the plantings of one bed share its ground. Nobody says where in a bed a planting stands, so each is taken to have the
 * part of the ground that its plants are of what the bed would hold of them alone: eight at a spacing at which nine fit take
 * eight ninths. With one spacing that is exact counting; with several it leaves out what is lost where they meet.
 */
import { addDays } from '../../../shared/local-time.js'
import type { Crop } from '../crops/crop.js'
import { countedFrom, type PlantingDates, stageMarks } from '../crops/stages.js'
import { holds } from './bed-capacity.js'
import type { Ground } from './ground.js'

/** Days on which a planting takes ground: from the first on, free again on the last. */
export interface Stay {
  readonly from: string
  readonly until: string
  /** the end is a guess from the crop's usual days, not a date the grower gave */
  readonly isGuessed: boolean
}

export interface Share extends Stay {
  /** of the bed's ground, 0 and more */
  readonly part: number
}

/** A crop that neither the library nor the grower knows any more: long enough for most. A guess. */
const UNKNOWN_CROP_DAYS = 120

/**
 * When a planting stands in the bed: from planting out, or sowing in place, until it is finished. Unfinished it is expected
 * to stand as long as its kind usually takes to be past its best, in cool weather as seed packets count, and in
 * any case until tomorrow if it stands there today.
 *
 * @param crop  null: not known any more
 * @returns null without a date
 */
export function stayOf(dates: PlantingDates, crop: Crop | null, today: string): Stay | null {
  const counted = countedFrom(dates)
  if (counted === null) return null
  const { date: from, start } = counted
  // finished on the day it began: still that day
  if (dates.finishedOn !== null) {
    return { from, until: later(dates.finishedOn, addDays(from, 1)), isGuessed: false }
  }
  const expected = addDays(from, Math.max(1, crop === null ? UNKNOWN_CROP_DAYS : usualDays(crop, start)))
  const stands = from <= today ? addDays(today, 1) : from
  return { from, until: later(expected, stands), isGuessed: true }
}

const later = (a: string, b: string): string => (a > b ? a : b)

/** Days from the start to past its best, in proportion to the packet's days to ready. */
function usualDays(crop: Crop, start: 'sown' | 'planted-out'): number {
  const toFinishedC = stageMarks(crop, start).at(-1)?.degreeDaysC ?? crop.degreeDays.toFinished.value
  return Math.round((crop.packetDays.value * toFinishedC) / crop.degreeDays.toReady.value)
}

/** The part of the ground that so many plants take. */
export const partOf = (ground: Ground, plants: number, spacingM: number): number =>
  plants / holds(ground, spacingM)

/** Do two stays have a day in common? */
export const overlap = (a: Stay, b: Stay): boolean => a.from < b.until && b.from < a.until

export interface Crowd<T extends Share> {
  /** the day on which least ground is free */
  readonly on: string
  /** who stands there on that day */
  readonly who: readonly T[]
  readonly part: number
}

/**
 * The day of a stay on which others take most of the ground.
 *
 * @returns null: nobody else stands there in that time
 */
export function mostCrowded<T extends Share>(stay: Stay, others: readonly T[]): Crowd<T> | null {
  const there = others.filter((one) => overlap(stay, one))
  // ground is only taken where a stay begins
  const days = [stay.from, ...there.map((one) => one.from).filter((from) => from > stay.from)]
  const crowds = days.map((on): Crowd<T> => {
    const who = there.filter((one) => one.from <= on && on < one.until)
    return { on, who, part: who.reduce((sum, one) => sum + one.part, 0) }
  })
  const most = crowds.reduce((a, b) => (b.part > a.part ? b : a))
  return most.who.length === 0 ? null : most
}

/** Parts are fractions of small numbers: eight ninths and one ninth are the whole. */
const SAME_PART = 1e-9

/** How many plants fit into the part of the ground that others leave. */
export const roomBeside = (ground: Ground, spacingM: number, takenPart: number): number =>
  Math.max(0, Math.floor(holds(ground, spacingM) * (1 - takenPart) + SAME_PART * holds(ground, spacingM)))
