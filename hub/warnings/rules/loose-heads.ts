/**
 * The heat that a planting has taken while its head (curd, sprouts …) forms, as a dose against the crop's limit.
 * Unlike the warm spell it does not pass with the weather: the harm stays in the head.
 */
import { addDays, localDay } from '../../../shared/local-time.js'
import { capital, celsius, counted } from '../../core/words.js'
import { expectedHoursAbove, freshAhead } from '../odds.js'
import type { BedView, Finding, PlantingView, Rule, RuleContext } from '../rule.js'
import { hours } from '../wording.js'
import { SOURCE_WORDS } from './limit-source.js'
import { warmSpellIn } from './warm-spell.js'

/** A dose only falls when records are corrected: an open warning holds down to this part of it. */
const HOLD_SHARE = 0.8

export const looseHeads: Rule = {
  name: 'loose-heads',
  holdMs: 3_600_000,
  find: (context) =>
    context.beds.flatMap((bed) => bed.plantings.flatMap((p) => doseOf(p, bed, context) ?? [])),
}

function doseOf(view: PlantingView, bedView: BedView, context: RuleContext): Finding | null {
  const { bed } = bedView
  const heat = view.crop?.heat
  if (!heat || view.headingDays.length === 0) return null
  const dose = view.doses.heat
  if (!dose) return null
  const heatHours = dose.amount
  const cause = `loose-heads/${view.planting.id}`
  const isOpen = context.isOpen(cause)
  const toCome = heatToCome(view, bedView, context)
  // what is still to come may take it over the harmful dose before the dose so far is worth a look
  const isFeared = toCome !== null && heatHours + toCome.hours >= heat.likelyHours.value
  if (heatHours < heat.watchHours.value * (isOpen ? HOLD_SHARE : 1) && !isFeared) return null

  const isLikely = heatHours >= heat.likelyHours.value
  // while the warm spell lasts its own warning says what to do: no two for one cause
  if (!isLikely && !isOpen && warmSpellIn(bedView, context)) return null

  const since = view.headingDays[0]!.date
  const { unknownDays } = dose
  const expected =
    toCome === null || isLikely
      ? ''
      : ` Until ${toCome.untilDate} the forecast adds about ${hours(toCome.hours)}${isFeared ? ', which would take it there' : ''}.`
  return {
    kind: 'loose-heads',
    cause,
    bed: bed.id,
    node: null,
    planting: view.planting.id,
    severity: isLikely || isFeared ? 'Moderate' : 'Minor',
    urgency: isLikely ? 'Immediate' : isFeared ? 'Future' : 'Expected',
    // the heat was measured; that it harms, and the stage itself, are estimates
    certainty: isLikely ? 'Likely' : 'Possible',
    headline: `${capital(heat.harm)} ${isLikely ? 'are likely' : 'are possible'}: ${view.name} in ${bed.name}`,
    why:
      `${hours(heatHours)} above ${celsius(heat.aboveC.value)} since ${since}, when by its degree days it began to form; harm becomes likely at about ${heat.likelyHours.value} h` +
      ` (${SOURCE_WORDS[heat.likelyHours.source]}).${expected}` +
      `${unknownDays > 0 ? ` On ${counted(unknownDays, 'day')} too few readings came in: it may be more.` : ''}`,
    advice: isLikely
      ? 'Feel the heads: cut the firm ones now, loose ones do not firm up in heat. Keep the soil evenly moist so that they do not split or get tip burn, and give no more nitrogen. For next time: a kind that stands heat, or a sowing date that brings heading into cooler weeks.'
      : 'Shade the bed for the hottest hours (30 to 50 % shade cloth), water evenly in the morning, mulch, and give no nitrogen now. Feel the heads every few days and cut what is firm. Work in the cool hours yourself.',
  }
}

/** Days beyond these bring what nobody knows. */
const DAYS_AHEAD = 3

function heatToCome(
  { crop, progress }: PlantingView,
  { ahead }: BedView,
  { date, garden }: RuleContext,
): { readonly hours: number; readonly untilDate: string } | null {
  const fresh = freshAhead(ahead)
  if (!fresh || !crop?.heat || progress.stage !== 'heading') return null
  const untilDate = addDays(date, DAYS_AHEAD)
  const untilMs = localDay(untilDate, garden.timeZone).endMs
  return { hours: expectedHoursAbove(fresh.forecast, crop.heat.aboveC.value, untilMs), untilDate }
}
