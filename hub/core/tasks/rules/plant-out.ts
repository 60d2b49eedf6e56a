/** Plant out on the planned date. */
import type { JournalKind } from '../../../../shared/api/journal.js'
import { daysBetween } from '../../../../shared/local-time.js'
import { counted } from '../../words.js'
import { daysAfter, plantingTask, type Rule } from '../task.js'
import { FORGOTTEN_AFTER_DAYS } from './sow.js'

const WINDOW_DAYS = 7
/** What is done to plants before they stand in the bed says nothing of whether they do. */
const BEFORE: ReadonlySet<JournalKind> = new Set([
  'sown',
  'pricked-out',
  'hardened-off',
  'emerged',
  'first-leaves',
  'fed',
  'watered',
  'pests-seen',
  'lost',
  'note',
])

export const plantOut: Rule = (view, today) => {
  const { planting, name, bed } = view
  const { plantedOutOn, plants, spacingM } = planting
  if (plantedOutOn === null || daysBetween(plantedOutOn, today) > FORGOTTEN_AFTER_DAYS) return []
  const own = view.journal.filter((entry) => entry.planting === planting.id)
  if (own.some(({ kind }) => !BEFORE.has(kind))) return []
  const cm = Math.round(spacingM * 100)
  return [
    plantingTask(view, 'plant-out', 1, {
      what: `Plant out the ${name}`,
      why: `You planned it for ${plantedOutOn}: ${counted(plants, 'plant')} in ${bed.name}, ${cm} cm apart.`,
      how: `Water the plants an hour before. Set them up to their lowest leaves, ${cm} cm apart, firm the soil, water in. A dull day or the evening is best; put it off while frost is forecast (common practice, no source).`,
      from: plantedOutOn,
      to: daysAfter(plantedOutOn, WINDOW_DAYS),
      journal: 'planted-out',
      asks: 'day',
    }),
  ]
}
