/** What a week of sowing leads to, over all ways in which the year may go. */

import type { Dose } from '../crops/dose.js'
import { SLOW_EMERGENCE_DAYS, type SoilForSowing, soilForSowing } from '../crops/emergence.js'
import type { Climate } from './climate.js'
import type { CropWeather } from './crop-weather.js'
import { runSowing, type SowingPlan, type SowingRun, type SowingWay } from './sowing-run.js'
import { dateAt, inSlots, slotOf } from './year-slots.js'

/** Chance by the climate's years, 0 to 1, with `likely` part of `watch`; null: this crop does not mind. */
export interface Chance {
  /** of a dose worth a look */
  readonly watch: number
  /** of a dose that does harm */
  readonly likely: number
}

export interface SowingWeek {
  readonly way: SowingWay
  /** first day of the week of sowing */
  readonly sowOn: string
  /** middle dates over the years; null: in half of the years or more it does not come to it */
  readonly emergedOn: string | null
  readonly plantOutOn: string | null
  readonly headingFrom: string | null
  readonly readyFrom: string | null
  /** past its best: split, bolted, tough, frozen */
  readonly readyTo: string | null
  /** the ready date in a quick and in a slow year, one in ten beyond each; null with fewer than five years */
  readonly readyEarly: string | null
  readonly readyLate: string | null
  /** heads form while the usual temperature is on the rise (a spring crop) or on the fall (an autumn crop) */
  readonly season: 'warming' | 'cooling' | null
  /** usual mean temperature while heads form, °C */
  readonly headingMeanC: number | null
  /** part of the heading days with that mean in the crop's best range, 0 to 1 */
  readonly headingBestPart: number | null
  /** chance that it becomes ready at all, within 400 days */
  readonly readyChance: number
  /** heat at the end: while heads form */
  readonly heat: Chance | null
  /** flowering after cold, felt from the juvenile size on */
  readonly coldBolting: Chance | null
  /** flowering in warm, long days */
  readonly heatBolting: Chance | null
  /** chance of a frost that kills plants just set out or just up */
  readonly youngFrost: number
  /** chance of a frost that kills hardened plants before they are ready */
  readonly killingFrost: number
  /** the usual soil where it is sown in place, as for sowing; null under cover */
  readonly soil: SoilForSowing | null
  readonly soilMeanC: number | null
  /** 0 to 1: how good a week this is, all of the above together (weekScore) */
  readonly score: number
}

/**
 * Weighs one week of sowing.
 *
 * @param sowOn     'YYYY-MM-DD', the week's first day
 * @param weathers  the climate's years for this crop
 */
export function sowingWeek(
  plan: SowingPlan,
  climate: Climate,
  weathers: readonly CropWeather[],
  sowOn: string,
): SowingWeek {
  const { crop, way } = plan
  const sowSlot = slotOf(sowOn)
  const year = Number(sowOn.slice(0, 4))
  const runs = weathers.map((weather) => runSowing(plan, weather, sowSlot))
  const on = (days: number | null): string | null => (days === null ? null : dateAt(year, sowSlot + days))
  const quantile = (pick: (run: SowingRun) => number | null, part: number): number | null =>
    quantileDays(runs.map(pick), part)
  const middle = (pick: (run: SowingRun) => number | null): number | null => quantile(pick, 0.5)
  const heading = middle((run) => run.heading)
  const ready = middle((run) => run.ready)
  const hasSpread = runs.length >= FEWEST_YEARS_FOR_SPREAD
  const soilMeanC = way === 'direct' ? climate.usualSoilC[sowSlot]! : null
  return {
    way,
    sowOn,
    emergedOn: on(middle((run) => run.emerged)),
    plantOutOn: on(middle((run) => run.plantedOut)),
    headingFrom: on(heading),
    readyFrom: on(ready),
    readyTo: ready === null ? null : on(middle((run) => run.finished)),
    readyEarly: hasSpread ? on(quantile((run) => run.ready, 0.1)) : null,
    readyLate: hasSpread ? on(quantile((run) => run.ready, 0.9)) : null,
    season: heading === null ? null : seasonAt(climate, sowSlot + heading, sowSlot + (ready ?? heading)),
    headingMeanC: meanOf(runs.map((run) => run.headingMeanC)),
    headingBestPart: meanOf(runs.map((run) => run.headingBestPart)),
    readyChance: part(runs, (run) => run.ready !== null),
    heat: chanceOf(runs, (run) => run.heat),
    coldBolting: chanceOf(runs, (run) => run.cold),
    heatBolting: chanceOf(runs, (run) => run.heatBolting),
    youngFrost: part(runs, (run) => run.isYoungFrosted),
    killingFrost: part(runs, (run) => run.isKilled),
    soil: soilMeanC === null ? null : soilForSowing(crop, soilMeanC),
    soilMeanC,
    score: runs.reduce((sum, run) => sum + runScore(run), 0) / runs.length,
  }
}

const FEWEST_YEARS_FOR_SPREAD = 5
/** Heat that halves a crop's worth, in doses at which harm is likely. See runScore. */
const HEAT_HALF_AT = 2
/** In the bed for so many days beyond the packet's: no longer a crop of its season. See runScore. */
const LONG_STAND_DAYS = 60

const part = (runs: readonly SowingRun[], is: (run: SowingRun) => boolean): number =>
  runs.filter(is).length / runs.length

function meanOf(values: readonly (number | null)[]): number | null {
  const known = values.filter((value) => value !== null)
  return known.length === 0 ? null : known.reduce((sum, value) => sum + value, 0) / known.length
}

/** Years that never come to it stand after all others. */
function quantileDays(days: readonly (number | null)[], at: number): number | null {
  const sorted = days.map((n) => n ?? Number.POSITIVE_INFINITY).sort((a, b) => a - b)
  const value = sorted[Math.min(sorted.length - 1, Math.floor(at * sorted.length))]!
  return Number.isFinite(value) ? value : null
}

function chanceOf(runs: readonly SowingRun[], pick: (run: SowingRun) => Dose | null): Chance | null {
  const doses = runs.flatMap((run) => pick(run) ?? [])
  if (doses.length === 0) return null
  return {
    watch: doses.filter(({ level }) => level !== 'none').length / doses.length,
    likely: doses.filter(({ level }) => level === 'likely').length / doses.length,
  }
}

/** Differences below this are rounding. */
const SAME_C = 1e-6

/** Rising or falling around the middle of the heading days. */
function seasonAt(climate: Climate, fromSlot: number, toSlot: number): 'warming' | 'cooling' {
  const at = (slot: number): number => climate.usualMeanC[inSlots(slot)]!
  const middle = Math.round((fromSlot + toSlot) / 2)
  return at(middle + 7) >= at(middle - 7) - SAME_C ? 'warming' : 'cooling'
}

/**
 * How well one sowing does in one year, 0 to 1: how well the temperature suits the heads, times what heat, cold and frost
 * leave of it. A dose at its limit of harm leaves half, a third of it nine parts in ten; plants lost young can be set
 * again, so a third is left of them; what is killed or never ready is worth nothing. First guesses throughout: they
 * order weeks, they do not foretell yields.
 */
export function runScore(run: SowingRun): number {
  if (run.ready === null || run.isKilled) return 0
  const left = (dose: Dose | null, halfAt = 1): number =>
    dose === null ? 1 : 1 / (1 + (dose.amount / dose.likelyAt / halfAt) ** 2)
  const isDirect = run.plantedOut === null
  const upPart = isDirect && run.emerged !== null ? Math.min(1, SLOW_EMERGENCE_DAYS / run.emerged) : 1
  const standPart = Math.min(1, LONG_STAND_DAYS / Math.max(1, run.overdueDays ?? 0))
  return (
    upPart *
    standPart *
    (run.headingFit ?? 0) *
    left(run.heat, HEAT_HALF_AT) *
    left(run.cold) *
    left(run.heatBolting) *
    (run.isYoungFrosted ? 1 / 3 : 1)
  )
}
