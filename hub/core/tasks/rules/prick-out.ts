/** Prick out seedlings that are raised under cover, while they are small. Common practice, no source. */
import { emergenceUnderCover } from '../../plan/under-cover.js'
import { daysAfter, entriesOf, plantingTask, type Rule } from '../task.js'

/** After emergence: seed leaves are open and the first true leaf shows. */
const FROM_DAYS = 7
const TO_DAYS = 14
/** Nearer to planting out than this it is too late to be worth it. */
const BEFORE_PLANTING_OUT_DAYS = 10

export const prickOut: Rule = (view, today) => {
  const { planting, crop, name } = view
  const { sownOn, plantedOutOn } = planting
  if (sownOn === null || plantedOutOn === null || crop.forms === 'root' || crop.forms === 'pods') return []
  if (today > daysAfter(plantedOutOn, -BEFORE_PLANTING_OUT_DAYS)) return []
  if (entriesOf(view, 'pricked-out', 'hardened-off', 'planted-out').length > 0) return []
  const seen = entriesOf(view, 'emerged')[0]?.on ?? null
  const usualDays = emergenceUnderCover(crop)
  if (seen === null && usualDays === null) return []
  const upOn = seen ?? daysAfter(sownOn, usualDays ?? 0)
  const from = daysAfter(upOn, FROM_DAYS)
  if (from > daysAfter(plantedOutOn, -BEFORE_PLANTING_OUT_DAYS)) return []
  return [
    plantingTask(view, 'prick-out', 1, {
      what: `Prick out the ${name}`,
      why: `${seen === null ? `Sown on ${sownOn}, it should be up about ${upOn}` : `Its seedlings were up on ${seen}`}; a week or two later they are best moved, before their roots tangle (common practice, no source).`,
      how: 'Lift each seedling by a seed leaf, never by the stem, and set it up to its seed leaves into its own module or 5 cm apart. Water, and keep it out of strong sun for two days. Seed sown singly into modules needs none of this: then say “Not this”.',
      from,
      to: daysAfter(upOn, TO_DAYS),
      journal: 'pricked-out',
    }),
  ]
}
