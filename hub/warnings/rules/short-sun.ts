/**
 * A bed that does not get six hours of sun. Whether the place or the weather is to blame is told apart: by the bed's
 * skyline where it is known, else by its clear days alone. A short winter day is no fault of the bed: only seasons that
 * could give more are counted. Cloudy weather is told of where plants stand that go short, and as that.
 */
import { compassPoint } from '../../../shared/compass.js'
import type { LostSpan } from '../../core/sun/lost-sun.js'
import { counted, list } from '../../core/words.js'
import type { BedSkyToday, BedView, Finding, Rule, RuleContext, SunHistory } from '../rule.js'
import { clock, hours } from '../wording.js'

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
/** Within three weeks of spring a bed comes to see this much more of the sun. */
const GROWING_SEASON_HOURS = 1
/** An open warning holds until the bed does this much better. */
const HOLD_HOURS = 0.5
/** Shorter losses are not worth a line, and more than this many not either. */
const LEAST_LOSS_MS = 15 * 60_000
const MOST_LOSSES = 3
/** A loss that begins or ends this near to when the sun comes up or goes down lasts from or to there. */
const AT_THE_EDGE_MS = 5 * 60_000

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
  if (sky.openHours < SEASON_HOURS) return null
  if (sky.possibleHours >= needed && !isHidden(sunHistory, needed)) return null
  const isForLeaves = Math.min(sky.possibleHours, seenHours(sunHistory)) >= LEAF_CROP_HOURS
  return {
    certainty: sky.possibleHigh < needed ? 'Likely' : 'Possible',
    urgency: 'Expected',
    headline: `${bed.name} sees ${isForLeaves ? 'less than six hours' : 'only a few hours'} of sun`,
    why: `${reachWords(sky, sunHistory, needed)} ${lossWords(sky, garden.timeZone)}${budgetWords(sunHistory)}`,
    advice: placeAdvice(isForLeaves),
  }
}

/** What the bed can have of the sun: by its skyline, or by what it had, where that says less. */
function reachWords(sky: BedSkyToday, history: SunHistory, needed: number): string {
  const open = `where open ground has ${tenths(sky.openHours)} h`
  if (sky.possibleHours >= needed) {
    return `Without a cloud it would have had ${hours(seenHours(history))} of sun a day over the last ${counted(history.days, 'day')}, ${open} today.`
  }
  const basis =
    sky.learnedDays === 0
      ? 'by the skyline that you drew'
      : `by what ${counted(sky.learnedDays, 'day')} of its light show of what stands around it`
  return `Under a clear sky it can have ${tenths(sky.possibleHours)} h today (${tenths(sky.possibleLow)} to ${tenths(sky.possibleHigh)}), ${open}, ${basis}.`
}

/** Hours a day with the sun on the bed, had there been no cloud; infinite where nothing was measured. */
const seenHours = ({ budget }: SunHistory): number =>
  budget ? budget.sunHours + budget.cloudHours + budget.unknownHours : Number.POSITIVE_INFINITY

/** Even without a cloud these weeks would not have given it the hours: a skyline that lets flecks of sun through looks open. */
const isHidden = (history: SunHistory, needed: number): boolean =>
  history.budget !== null &&
  history.budget.days >= NEEDED_DAYS &&
  seenHours(history) + GROWING_SEASON_HOURS < needed

/** "It loses the sun until 07:10, towards the east, and from 14:10 on, towards the west-south-west." */
function lossWords({ lost, openFromMs, openToMs }: BedSkyToday, timeZone: string): string {
  const worst = lost
    .filter((span) => span.toMs - span.fromMs >= LEAST_LOSS_MS)
    .sort((a, b) => b.toMs - b.fromMs - (a.toMs - a.fromMs))
    .slice(0, MOST_LOSSES)
    .sort((a, b) => a.fromMs - b.fromMs)
  if (worst.length === 0) return ''
  const parts = worst.map((span) => {
    const isFirst = openFromMs !== null && span.fromMs - openFromMs < AT_THE_EDGE_MS
    const isLast = openToMs !== null && openToMs - span.toMs < AT_THE_EDGE_MS
    const when =
      isFirst && isLast
        ? 'all day'
        : isFirst
          ? `until ${clock(span.toMs, timeZone)}`
          : isLast
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
      `${measuredWords(coverage)} They count as clear because ${clearWords(others, clearDays.length)}.`,
    advice: placeAdvice(isForLeaves),
  }
}

/** The place would do; the weeks were dull. Only where plants stand that have gone short. */
function ofTheWeather({ bed, plantings, sunHistory }: BedView, isOpen: boolean): Words | null {
  const { sky, budget } = sunHistory
  if (!sky || !budget || plantings.length === 0 || budget.days < NEEDED_DAYS) return null
  if (sky.possibleHours < FULL_SUN_HOURS || isHidden(sunHistory, FULL_SUN_HOURS)) return null
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

/** How much of the clear days' daylight was measured. @param coverage  the least of any of them, 0 to 1 */
const measuredWords = (coverage: number): string => {
  const percent = Math.floor(coverage * 100)
  return percent >= 100 ? 'They were measured throughout.' : `At least ${percent} % of each was measured.`
}

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
