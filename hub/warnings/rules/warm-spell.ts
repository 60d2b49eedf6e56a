/**
 * A warm spell while plants form what is eaten: observed, or days ahead with its odds. Three days in a row with a maximum above the crop's
 * limit is what growers call a warm spell; two days well above it, or a night that stays warm, make it severe.
 * Thresholds: growers' rule of 80 °F while heading, and the fixed-threshold form of the warm-spell indices of the
 * ETCCDI (a garden has no thirty years of records for percentiles).
 */
import type { DayRecord } from '../../../shared/api/measurements.js'
import { chanceAbove } from '../../core/forecast/normal-odds.js'
import { celsius, counted, inTen, list } from '../../core/words.js'
import { certaintyOf, freshAhead } from '../odds.js'
import type { BedView, Finding, PlantingView, Rule, RuleContext } from '../rule.js'
import { spellAhead } from '../spell-ahead.js'
import { hours } from '../wording.js'

const SPELL_DAYS = 3
/** Days this much above the limit are enough by twos. 30 °C where the limit is 27 °C. */
const FAR_ABOVE_C = 3
const WARM_NIGHT_C = 20
/** An open warning holds while the days stay within this of the limit. */
const HOLD_BELOW_C = 1
const HOUR_MS = 3_600_000

export const warmSpell: Rule = {
  name: 'warm-spell',
  holdMs: 12 * HOUR_MS,
  find: (context) => context.beds.flatMap((bed) => warmSpellIn(bed, context) ?? []),
}

/** So near its heading stage a planting is in it by the time a spell comes: three days at 14 °C·d. */
const SOON_HEADING_C = 42

/** The warm spell of one bed, there or to come; null: there is none, or nothing that minds. */
export const warmSpellIn = (view: BedView, context: RuleContext): Finding | null =>
  observedSpell(view, context) ?? spellToCome(view, context)

const minds = ({ progress, crop }: PlantingView): boolean =>
  progress.stage === 'heading' && crop?.heat !== null && crop?.heat !== undefined

const soonMinds = ({ toHeadingC, crop }: PlantingView): boolean =>
  toHeadingC !== null && toHeadingC <= SOON_HEADING_C && crop?.heat !== null && crop?.heat !== undefined

function spellToCome(view: BedView, context: RuleContext): Finding | null {
  const threatened = view.plantings.filter((one) => minds(one) || soonMinds(one))
  const ahead = freshAhead(view.ahead)
  if (threatened.length === 0 || !ahead) return null
  const measure = threatened.reduce((a, b) => (limitC(b) < limitC(a) ? b : a))
  const cause = `warm-spell/${view.bed.id}`
  const spell = spellAhead(ahead, limitC(measure), SPELL_DAYS, context.isOpen(cause), context.garden)
  if (!spell) return null
  const isForming = threatened.some(minds)
  const isOne = threatened.length === 1
  return {
    kind: 'warm-spell',
    cause,
    bed: view.bed.id,
    node: null,
    planting: isOne ? measure.planting.id : null,
    severity: spell.farDays >= 2 ? 'Severe' : 'Moderate',
    urgency: 'Future',
    certainty: certaintyOf(spell.chance),
    headline: `Warm spell ${certaintyOf(spell.chance) === 'Likely' ? 'likely' : 'possible'} in ${view.bed.name} from ${spell.fromDate}, ${isForming ? 'while' : 'just when'} ${list(threatened.map((p) => p.name))} ${isOne ? (isForming ? 'forms its' : 'is about to form its') : isForming ? 'form their' : 'are about to form their'} ${formsOf(threatened)}`,
    why:
      `The odds of ${counted(SPELL_DAYS, 'day')} in a row above ${celsius(limitC(measure))} by ${spell.toDate} are ${inTen(spell.chance)}; the hottest day to be expected has ${celsius(spell.hottestC)}. ` +
      `${ahead.words} While it forms, ${measure.name} risks ${measure.crop!.heat!.harm}.`,
    advice: AHEAD_ADVICE,
    onsetMs: spell.onsetMs,
    expiresMs: spell.expiresMs,
    chance: spell.chance,
  }
}

/** The warm spell of one bed, as measured. */
function observedSpell(view: BedView, context: RuleContext): Finding | null {
  const heading = view.plantings.filter(minds)
  if (heading.length === 0) return null
  // the bed has one weather: the most sensitive of its plantings is the measure
  const measure = heading.reduce((a, b) => (limitC(b) < limitC(a) ? b : a))
  const cause = `warm-spell/${view.bed.id}`
  const isOpen = context.isOpen(cause, 'Observed')
  const aboveC = limitC(measure) - (isOpen ? HOLD_BELOW_C : 0)
  const spell = runOfDays(view.days, (day) => day.airTempMaxC !== null && day.airTempMaxC > aboveC)
  const farDays = spell.filter((d) => d.airTempMaxC! >= limitC(measure) + FAR_ABOVE_C).length
  const isSpell = spell.length >= SPELL_DAYS || farDays >= 2 || (isOpen && spell.length > 0)
  if (!isSpell) return null

  const hottestC = Math.max(...spell.map((d) => d.airTempMaxC!))
  const mildestNightC = Math.max(...spell.map((d) => d.airTempMinC ?? Number.NEGATIVE_INFINITY))
  const heatHours = headingHeatHours(measure, spell)
  const isToday = spell.at(-1)!.date === context.date
  return {
    kind: 'warm-spell',
    cause,
    bed: view.bed.id,
    node: null,
    planting: heading.length === 1 ? measure.planting.id : null,
    severity: farDays >= 2 || mildestNightC >= WARM_NIGHT_C ? 'Severe' : 'Moderate',
    urgency: isToday ? 'Immediate' : 'Expected',
    certainty: 'Observed',
    headline: `Warm spell in ${view.bed.name} while ${list(heading.map((p) => p.name))} ${heading.length === 1 ? 'forms its' : 'form their'} ${formsOf(heading)}`,
    why:
      `${counted(spell.length, 'day')} in a row above ${celsius(limitC(measure))} up to ${isToday ? 'today' : spell.at(-1)!.date}, the hottest ${celsius(hottestC)}` +
      `${heatHours === null ? '' : `, ${hours(heatHours)} in all above that limit`}` +
      `${mildestNightC >= WARM_NIGHT_C ? `; a night that did not fall below ${celsius(mildestNightC)}` : ''}. ` +
      `While it forms, ${measure.name} risks ${measure.crop!.heat!.harm}.${outlookOf(view, limitC(measure))}`,
    advice: WARM_ADVICE,
  }
}

export const AHEAD_ADVICE =
  'Have shade cloth (30 to 50 %) ready for the hottest hours of those days. Water deeply and evenly beforehand and mulch, so that the soil goes cool and moist into the heat; no nitrogen now. Feel the heads, and cut firm ones before it comes. Do heavy work before the heat, or in the cool hours; drink, and rest in the shade.'
export const WARM_ADVICE =
  'Hang shade cloth (30 to 50 %) over the bed for the hottest hours and take it off in the evening. Water in the morning, evenly and deeply, and mulch to keep the soil cool and moist; no nitrogen now. Cut heads that are already firm. Work in the cool hours yourself: drink, rest in the shade, do not work alone in great heat.'

const limitC = (planting: PlantingView): number =>
  planting.crop?.heat?.aboveC.value ?? Number.POSITIVE_INFINITY

const formsOf = (plantings: readonly PlantingView[]): string =>
  list([...new Set(plantings.map((p) => p.crop?.forms ?? 'heads'))])

/** Whether it goes on, in odds; empty where nothing fresh is known. */
function outlookOf({ ahead }: BedView, aboveC: number): string {
  const [, tomorrow, next] = freshAhead(ahead)?.forecast.days ?? []
  if (!tomorrow) return ''
  const oddsOn = (day: typeof tomorrow): string => inTen(chanceAbove(day.maxC, aboveC))
  return ` The odds that tomorrow is above the limit too are ${oddsOn(tomorrow)}${next ? `, the day after ${oddsOn(next)}` : ''}.`
}

/** The days that end today (or yesterday, as today may not have warmed up yet) and all fulfil the condition. */
function runOfDays(days: readonly DayRecord[], holds: (day: DayRecord) => boolean): DayRecord[] {
  let to = days.length
  if (to > 0 && !holds(days[to - 1]!)) to--
  let from = to
  while (from > 0 && holds(days[from - 1]!)) from--
  return days.slice(from, to)
}

function headingHeatHours(planting: PlantingView, spell: readonly DayRecord[]): number | null {
  const first = spell[0]!.date
  const measured = planting.headingDays.filter((d) => d.date >= first && d.heatHours !== null)
  return measured.length > 0 ? measured.reduce((sum, d) => sum + d.heatHours!, 0) : null
}
