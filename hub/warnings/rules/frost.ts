/**
 * Frost in a bed: observed when its own air is at or below what its plants stand, possible when a clear night's
 * cooling heads there, days ahead with the odds of a forecast. The limit comes from the most tender planting that stands in the bed.
 */
import { daysBetween, localDay } from '../../../shared/local-time.js'
import { isGood } from '../../../shared/quality-flags.js'
import { chanceBelow, interval80 } from '../../core/forecast/normal-odds.js'
import { lastTold } from '../../core/forecast/warm-spell-odds.js'
import type { ReadingColumns } from '../../core/readings.js'
import { sunTimes } from '../../core/sun/sun-times.js'
import { celsius, inTen, list } from '../../core/words.js'
import { nightOutlook } from '../night-cooling.js'
import { certaintyOf, freshAhead, warnFrom } from '../odds.js'
import type { BedView, Finding, PlantingView, Rule, RuleContext } from '../rule.js'
import { clock } from '../wording.js'

const HOUR_MS = 3_600_000
/** A reading older than this says nothing of now. */
const FRESH_MS = 45 * 60_000
/** Usual accuracy of cheap digital sensors, °C: the plant may be this much colder than the reading. */
const SENSOR_ERROR_C = 0.5
/** An open warning holds until the air is this much above the limit. */
const HOLD_ABOVE_C = 1
/** Water freezes: the limit where nothing is known of what stands there. */
const FREEZING_C = 0
/** Plants are unhardened for about this long after they come out of shelter. Common practice: 7 to 14 days. */
const HARDENING_DAYS = 14

interface Limit {
  readonly damageC: number
  readonly killC: number | null
  readonly tender: PlantingView | null
  readonly isYoung: boolean
}

export const frost: Rule = {
  name: 'frost',
  holdMs: 2 * HOUR_MS,
  find: (context) =>
    context.beds.flatMap((bed) => frostInBed(bed, context) ?? frostToCome(bed, context) ?? []),
}

function frostInBed(view: BedView, context: RuleContext): Finding | null {
  const latest = latestGood(view.airTemp, context.nowMs)
  if (!latest) return null
  const limit = limitOf(view, context.date)
  const cause = `frost/${view.bed.id}`
  const raiseAtC = limit.damageC + SENSOR_ERROR_C
  const threatened =
    view.plantings.length > 0 ? list(view.plantings.map((p) => p.name)) : 'whatever stands there'
  const common = {
    kind: 'frost' as const,
    cause,
    bed: view.bed.id,
    node: null,
    planting: limit.tender?.planting.id ?? null,
  }
  const limitText = limit.tender
    ? `${limit.tender.name}${limit.isYoung ? ', not yet hardened,' : ''} is harmed below about ${celsius(limit.damageC)}`
    : 'Water freezes at 0.0 °C, and the hub knows of no planting here'

  if (
    latest.valueC <= raiseAtC ||
    (context.isOpen(cause, 'Observed') && latest.valueC <= raiseAtC + HOLD_ABOVE_C)
  ) {
    const isDeadly = limit.killC !== null && latest.valueC <= limit.killC + SENSOR_ERROR_C
    return {
      ...common,
      severity: limit.tender === null ? 'Minor' : isDeadly ? 'Severe' : 'Moderate',
      urgency: 'Immediate',
      certainty: 'Observed',
      headline: `Frost in ${view.bed.name}: ${threatened}`,
      why: `The bed's air was at ${celsius(latest.valueC)} at ${clock(latest.timeMs, context.garden.timeZone)}. ${limitText}; sensors are good to ±${SENSOR_ERROR_C} °C.`,
      advice: OBSERVED_ADVICE,
    }
  }

  const { sunsetMs, sunriseMs } = view.night
  if (sunsetMs === null || sunriseMs === null) return null
  const outlook = nightOutlook(view.airTemp, sunsetMs, sunriseMs, context.nowMs)
  const holdC = context.isOpen(cause) ? HOLD_ABOVE_C : 0
  if (!outlook || outlook.lowestC > raiseAtC + holdC) return null
  return {
    ...common,
    severity: limit.tender === null ? 'Minor' : 'Moderate',
    urgency: 'Expected',
    certainty: 'Possible',
    headline: `Frost may come to ${view.bed.name} before dawn: ${threatened}`,
    why: `The bed's air fell from ${celsius(outlook.startC)} two hours after sunset to ${celsius(outlook.latestC)}. If the night stays clear and calm it would reach about ${celsius(outlook.lowestC)} by sunrise at ${clock(sunriseMs, context.garden.timeZone)}, give or take 2 °C. ${limitText}.`,
    advice: EXPECTED_ADVICE,
  }
}

/** Covers cost little and a frost much: worth telling from one in four. */
const POSSIBLE_FROST_CHANCE = 0.25

/** A frost of the coming mornings. Once the night has begun to show where it goes, it speaks first. */
function frostToCome(view: BedView, context: RuleContext): Finding | null {
  const ahead = freshAhead(view.ahead)
  const limit = limitOf(view, context.date)
  if (!ahead || !limit.tender) return null
  const cause = `frost/${view.bed.id}`
  const { days } = ahead.forecast
  const limitC = limit.damageC + SENSOR_ERROR_C
  const coming = days
    .slice(0, lastTold(ahead.forecast) + 1)
    // a day's frost comes at its dawn
    .filter(({ date }) => dawnOf(date, context) > context.nowMs)
    .map((day) => ({ day, chance: chanceBelow(day.minC, limitC) }))
  const from = warnFrom(ahead, context.isOpen(cause), POSSIBLE_FROST_CHANCE)
  const first = coming.find(({ chance }) => chance >= from)
  const worst = coming.reduce<(typeof coming)[number] | null>(
    (a, b) => (a && a.chance >= b.chance ? a : b),
    null,
  )
  if (!first || !worst) return null
  const { date, minC } = first.day
  const { lowC, middleC } = interval80(minC)
  const dawnMs = dawnOf(date, context)
  return {
    kind: 'frost',
    cause,
    bed: view.bed.id,
    node: null,
    planting: limit.tender.planting.id,
    severity: 'Moderate',
    urgency: 'Future',
    certainty: certaintyOf(worst.chance),
    headline: `Frost is ${certaintyOf(worst.chance) === 'Likely' ? 'likely' : 'possible'} in ${view.bed.name} by the morning of ${date}: ${list(view.plantings.map((p) => p.name))}`,
    why: `The night before ${date} is expected to go down to ${celsius(middleC)}, in a cold case to ${celsius(lowC)}; the odds that it harms are ${inTen(first.chance)}. ${limit.tender.name}${limit.isYoung ? ', not yet hardened,' : ''} is harmed below about ${celsius(limit.damageC)}. ${ahead.words}`,
    advice: AHEAD_ADVICE,
    onsetMs: dawnMs - 3 * HOUR_MS,
    expiresMs: dawnMs + 2 * HOUR_MS,
    chance: worst.chance,
  }
}

/** Sunrise, or 6 o'clock where the sun does not rise. */
function dawnOf(date: string, { garden }: RuleContext): number {
  const day = localDay(date, garden.timeZone)
  return sunTimes(day, garden).sunriseMs ?? day.startMs + 6 * HOUR_MS
}

const AHEAD_ADVICE =
  'Lay fleece, blankets or cloches ready and put them on before that evening, down to the ground on all sides. Water dry soil in the morning before: moist soil gives off more warmth. Move containers against the house. Put off planting out tender plants.'
const EXPECTED_ADVICE =
  'Cover the plants now with fleece, a blanket or a cloche, held off the leaves and down to the ground on all sides, so that the warmth of the soil stays in. Move containers against the house. Moist soil gives off more warmth than dry soil. Mind your step in the dark; never heat a cover with a flame.'
const OBSERVED_ADVICE =
  'Cover what is not covered: fleece, a blanket or a cloche, down to the ground. Take covers off once it is above freezing. Do not touch, water or harvest frozen leaves; let them thaw slowly in the shade, and wait some days before cutting what looks lost.'

function limitOf(view: BedView, date: string): Limit {
  let found: Limit | null = null
  for (const tender of view.plantings) {
    if (!tender.crop) continue
    const isYoung = isUnhardened(tender, date)
    const { damageC, youngC, killC } = tender.crop.frost
    // young plants are lost where hardened ones are only marked, whichever of the two is warmer
    const limitC = isYoung ? Math.max(damageC.value, youngC.value) : damageC.value
    if (found && found.damageC >= limitC) continue
    found = { damageC: limitC, killC: isYoung ? youngC.value : killC.value, tender, isYoung }
  }
  return found ?? { damageC: FREEZING_C, killC: null, tender: null, isYoung: false }
}

function isUnhardened({ planting }: PlantingView, date: string): boolean {
  const since = planting.plantedOutOn ?? planting.sownOn
  // sown in place, seedlings grow up with the cold: they count from emergence, roughly as long again
  const days = planting.plantedOutOn ? HARDENING_DAYS : 2 * HARDENING_DAYS
  return since !== null && daysBetween(since, date) < days
}

function latestGood(readings: ReadingColumns, nowMs: number): { timeMs: number; valueC: number } | null {
  for (let i = readings.timeMs.length - 1; i >= 0; i--) {
    const timeMs = readings.timeMs[i]!
    if (timeMs > nowMs || !isGood(readings.flags[i]!)) continue
    return nowMs - timeMs <= FRESH_MS ? { timeMs, valueC: readings.value[i]! } : null
  }
  return null
}
