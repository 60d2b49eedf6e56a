/**
 * A bed that does not get six hours of sun. Whether the place or the weather is to blame is told apart: by the bed's
 * skyline where it is known, else by its clear days alone. A short winter day is no fault of the bed: only seasons that
 * could give more are counted. Cloudy weather is told of where plants stand that go short, and as that.
 */
import { compassPoint, type LostSpan } from '../../core/sun/lost-sun.js'
import type { BedSkyToday, BedView, Finding, Rule, RuleContext, SunHistory } from '../rule.js'
import { clock, counted, hours, list } from '../wording.js'

/** Full sun, as seed packets and extension services mean it. */
const FULL_SUN_HOURS = 6
/** What leaf crops still make do with (fewer and slower); extension services say about four hours. */
const LEAF_CROP_HOURS = 4
const NEEDED_CLEAR_DAYS = 3
/** Days of light before a skyline is a verdict, and days before the weather is. */
const NEEDED_SKYLINE_DAYS = 10
const NEEDED_DAYS = 14
/** The open sky must give this much more, or it is the season that is short. */
const SEASON_HOURS = 7
/** Sun at any time of day on any of the days, in case clouds always came at the same hours. */
const REACHABLE_MARGIN_HOURS = 0.75
/** An open warning holds until the bed does this much better. */
const HOLD_HOURS = 0.5
/** Shorter losses are not worth a line, and more than this many not either. */
const LEAST_LOSS_MS = 15 * 60_000
const MOST_LOSSES = 3

type Words = Pick<Finding, 'certainty' | 'urgency' | 'headline' | 'why' | 'advice'>

export const shortSun: Rule = {
  name: 'short-sun',
  holdMs: 24 * 3_600_000,
  find: (context) => context.beds.flatMap((bed) => shortOfSun(bed, context) ?? []),
}

function shortOfSun(view: BedView, context: RuleContext): Finding | null {
  const cause = `short-sun/${view.bed.id}`
  const needed = FULL_SUN_HOURS + (context.isOpen(cause) ? HOLD_HOURS : 0)
  const { sky } = view.sunHistory
  const ofBed = sky && isTold(sky) ? ofThePlace(view, sky, needed, context) : ofClearDays(view, needed)
  const words = ofBed ?? ofTheWeather(view, context.isOpen(cause))
  if (!words) return null
  return {
    kind: 'short-sun',
    cause,
    bed: view.bed.id,
    node: null,
    planting: null,
    severity: 'Minor',
    ...words,
  }
}

/** The sun's path is known to the minute; the range beside it says how well the skyline is. */
const tenths = (value: number): string => value.toFixed(1)

/** Is its skyline worth a verdict? What the grower drew is, at once. */
const isTold = ({ learnedDays }: BedSkyToday): boolean =>
  learnedDays === 0 || learnedDays >= NEEDED_SKYLINE_DAYS

/** The skyline is known: what the bed can see of the sun under a clear sky decides. */
function ofThePlace(
  { bed, sunHistory }: BedView,
  sky: BedSkyToday,
  needed: number,
  { garden }: RuleContext,
): Words | null {
  if (sky.openHours < SEASON_HOURS || sky.possibleHours >= needed) return null
  const isForLeaves = sky.possibleHours >= LEAF_CROP_HOURS
  const basis =
    sky.learnedDays === 0
      ? 'by the skyline that you drew'
      : `by what ${counted(sky.learnedDays, 'day')} of its light show of what stands around it`
  return {
    certainty: sky.possibleHigh < needed ? 'Likely' : 'Possible',
    urgency: 'Expected',
    headline: `${bed.name} sees ${isForLeaves ? 'less than six hours' : 'only a few hours'} of sun`,
    why:
      `Under a clear sky it can have ${tenths(sky.possibleHours)} h today (${tenths(sky.possibleLow)} to ${tenths(sky.possibleHigh)}), where open ground has ${tenths(sky.openHours)} h, ${basis}. ` +
      `${lossWords(sky.lost, garden.timeZone)}${budgetWords(sunHistory)}`,
    advice: placeAdvice(isForLeaves),
  }
}

/** "It loses the sun until 07:10, towards the east, and from 14:10 on, towards the west-south-west." */
function lossWords(lost: readonly LostSpan[], timeZone: string): string {
  const worst = lost
    .filter((span) => span.toMs - span.fromMs >= LEAST_LOSS_MS)
    .sort((a, b) => b.toMs - b.fromMs - (a.toMs - a.fromMs))
    .slice(0, MOST_LOSSES)
    .sort((a, b) => a.fromMs - b.fromMs)
  if (worst.length === 0) return ''
  const parts = worst.map((span) => {
    const when =
      span === lost[0]
        ? `until ${clock(span.toMs, timeZone)}`
        : span === lost.at(-1)
          ? `from ${clock(span.fromMs, timeZone)} on`
          : `from ${clock(span.fromMs, timeZone)} to ${clock(span.toMs, timeZone)}`
    return `${when}, ${towards(span)}`
  })
  return `It loses the sun ${parts.length > 1 ? list(parts.map((p) => p.replace(', ', ' '))) : parts[0]}. `
}

function towards({ fromAzimuthDeg, toAzimuthDeg }: LostSpan): string {
  const [from, to] = [compassPoint(fromAzimuthDeg), compassPoint(toAzimuthDeg)]
  const degrees = `${Math.round(fromAzimuthDeg)}° to ${Math.round(toAzimuthDeg)}°`
  return from === to ? `towards the ${from} (${degrees})` : `from the ${from} to the ${to} (${degrees})`
}

function budgetWords({ budget, days }: SunHistory): string {
  if (!budget) return ''
  return `Over the last ${counted(days, 'day')} it had ${hours(budget.sunHours)} of sun a day; what stands around took ${hours(budget.shadeHours)}, clouds ${hours(budget.cloudHours)}.`
}

/** The skyline is not known yet: clear days speak. */
function ofClearDays({ bed, sunHistory }: BedView, needed: number): Words | null {
  const { clearDays, reachableHours } = sunHistory
  if (clearDays.length < NEEDED_CLEAR_DAYS || reachableHours === null) return null
  const openHours = median(clearDays.map((d) => d.openHours))
  if (openHours < SEASON_HOURS) return null
  // the best day decides: a cloud on a clear day takes sun away, nothing adds any
  const bestHours = Math.max(...clearDays.map((d) => d.sunHours))
  if (bestHours >= needed || reachableHours >= needed + REACHABLE_MARGIN_HOURS) return null

  const coverage = Math.min(...clearDays.map((d) => d.coverage))
  const others = clearDays.filter((d) => d.toldBy === 'another bed').length
  const isForLeaves = bestHours >= LEAF_CROP_HOURS
  return {
    certainty: 'Likely',
    urgency: 'Expected',
    headline: `${bed.name} gets ${isForLeaves ? 'less than six hours' : 'only a few hours'} of sun`,
    why:
      `On its ${counted(clearDays.length, 'clear day')} of the last ${counted(sunHistory.days, 'day')} it had ${hours(median(clearDays.map((d) => d.sunHours)))} of sun, at best ${hours(bestHours)}, where the open sky gave ${hours(openHours)}. ` +
      `A day counts as clear when at least ${Math.round(coverage * 100)} % of it was measured and ${clearWords(others, clearDays.length)}.`,
    advice: placeAdvice(isForLeaves),
  }
}

/** The place would do; the weeks were dull. Only where plants stand that have gone short. */
function ofTheWeather({ bed, plantings, sunHistory }: BedView, isOpen: boolean): Words | null {
  const { sky, budget } = sunHistory
  if (!sky || !budget || plantings.length === 0 || budget.days < NEEDED_DAYS) return null
  if (sky.possibleHours < FULL_SUN_HOURS) return null
  if (budget.sunHours >= LEAF_CROP_HOURS + (isOpen ? HOLD_HOURS : 0)) return null
  return {
    certainty: 'Observed',
    urgency: 'Past',
    headline: `The weather gave ${bed.name} little sun`,
    why: `Over the last ${counted(sunHistory.days, 'day')} it had ${hours(budget.sunHours)} of sun a day, though it sees the sun for up to ${tenths(sky.possibleHours)} h: clouds took ${hours(budget.cloudHours)} a day, what stands around only ${hours(budget.shadeHours)}.`,
    advice:
      'Nothing is wrong with the bed. Growth is slower than degree days say: give plants room and air, water and feed less until the sun is back.',
  }
}

const placeAdvice = (isForLeaves: boolean): string =>
  isForLeaves
    ? 'Heading crops want six to eight hours. Cut back what shades the bed, move containers into the sun, or grow leaf crops here: lettuce, spinach and kale make do with four hours and only grow more slowly. Check first that nothing lies on the light sensor.'
    : 'Check first that the light sensor is clean and lies level. If it does, this is a place for shade-tolerant leaves at most: move containers, cut back what shades the bed, or head crops elsewhere.'

function clearWords(byOthers: number, all: number): string {
  const own = 'its own light kept to the curve of a cloudless sky while the sun shone on it'
  const other = 'another bed had nearly all the sun that was possible'
  return byOthers === 0 ? own : byOthers === all ? other : `${own}, or ${other}`
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const middle = sorted.length >> 1
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2
}
