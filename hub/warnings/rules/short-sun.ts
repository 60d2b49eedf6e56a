/**
 * A bed that does not get six hours of sun even under a clear sky. Cloudy weather is no fault of the bed, and a
 * short winter day is none either: only clear days of a season that could give more are counted.
 */
import type { BedView, Finding, Rule, RuleContext } from '../rule.js'
import { counted, hours } from '../wording.js'

/** Full sun, as seed packets and extension services mean it. */
const FULL_SUN_HOURS = 6
/** What leaf crops still make do with (fewer and slower); extension services say about four hours. */
const LEAF_CROP_HOURS = 4
const NEEDED_CLEAR_DAYS = 3
/** The open sky must give this much more, or it is the season that is short. */
const SEASON_HOURS = 7
/** Sun at any time of day on any of the days, in case clouds always came at the same hours. */
const REACHABLE_MARGIN_HOURS = 0.75
/** An open warning holds until the bed does this much better. */
const HOLD_HOURS = 0.5

export const shortSun: Rule = {
  name: 'short-sun',
  holdMs: 24 * 3_600_000,
  find: (context) => context.beds.flatMap((bed) => shortOfSun(bed, context) ?? []),
}

function shortOfSun({ bed, sunHistory }: BedView, context: RuleContext): Finding | null {
  const { clearDays, reachableHours } = sunHistory
  if (clearDays.length < NEEDED_CLEAR_DAYS || reachableHours === null) return null
  const possibleHours = median(clearDays.map((d) => d.possibleSunHours))
  if (possibleHours < SEASON_HOURS) return null
  const cause = `short-sun/${bed.id}`
  const holdHours = context.isOpen(cause) ? HOLD_HOURS : 0
  // the best day decides: a cloud on a clear day takes sun away, nothing adds any
  const bestHours = Math.max(...clearDays.map((d) => d.sunHours))
  if (bestHours >= FULL_SUN_HOURS + holdHours) return null
  if (reachableHours >= FULL_SUN_HOURS + REACHABLE_MARGIN_HOURS + holdHours) return null

  const coverage = Math.min(...clearDays.map((d) => d.coverage))
  const others = clearDays.filter((d) => d.toldBy === 'another bed').length
  const isForLeaves = bestHours >= LEAF_CROP_HOURS
  return {
    kind: 'short-sun',
    cause,
    bed: bed.id,
    node: null,
    planting: null,
    severity: 'Minor',
    urgency: 'Expected',
    certainty: 'Likely',
    headline: `${bed.name} gets ${isForLeaves ? 'less than six hours' : 'only a few hours'} of sun`,
    why:
      `On its ${counted(clearDays.length, 'clear day')} of the last ${counted(sunHistory.days, 'day')} it had ${hours(median(clearDays.map((d) => d.sunHours)))} of sun, at best ${hours(bestHours)}, where the open sky gave ${hours(possibleHours)}. ` +
      `A day counts as clear when at least ${Math.round(coverage * 100)} % of it was measured and ${clearWords(others, clearDays.length)}.`,
    advice: isForLeaves
      ? 'Heading crops want six to eight hours. Cut back what shades the bed, move containers into the sun, or grow leaf crops here: lettuce, spinach and kale make do with four hours and only grow more slowly. Check first that nothing lies on the light sensor.'
      : 'Check first that the light sensor is clean and lies level. If it does, this is a place for shade-tolerant leaves at most: move containers, cut back what shades the bed, or head crops elsewhere.',
  }
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
