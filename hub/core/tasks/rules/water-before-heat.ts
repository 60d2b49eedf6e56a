/** Water a bed before a run of hot days. Of beds, not of plantings: one can waters them all. */
import type { Bed } from '../../../../shared/api/garden.js'
import type { JournalEntry } from '../../../../shared/api/journal.js'
import { capital, celsius, inTen, list } from '../../words.js'
import { daysAfter, type HotSpell, type Task } from '../task.js'

const BEFORE_DAYS = 2
/** Watered so lately it needs none before the spell. */
const STILL_WET_DAYS = 2

/**
 * @param names    what stands in the bed, as growers say it
 * @param journal  of the bed and of what stands in it
 */
export function waterBeforeHeat(
  bed: Bed,
  names: readonly string[],
  hot: HotSpell | null,
  journal: readonly JournalEntry[],
): Task[] {
  if (hot === null || names.length === 0) return []
  const from = daysAfter(hot.fromDate, -BEFORE_DAYS)
  const watered = journal.filter(({ kind }) => kind === 'watered')
  if (watered.some(({ on }) => on >= daysAfter(from, -STILL_WET_DAYS))) return []
  return [
    {
      id: `bed-${bed.id}.water.${watered.length + 1}`,
      rule: 'water',
      planting: null,
      bed: bed.id,
      what: `Water ${bed.name} well before the heat`,
      why: `Days above ${celsius(hot.limitC)} are to be expected from ${hot.fromDate} on: ${inTen(hot.chance)} for three in a row, the hottest with ${celsius(hot.hottestC)}. ${hot.words} ${capital(list(names))} ${names.length === 1 ? 'goes' : 'go'} into it best from cool, moist soil.`,
      how: `Water slowly in the early morning, until the soil is moist a hand deep${bed.kind === 'container' ? '; in heat a container may need it twice a day' : ''}. Mulch. How wet the soil is the hub does not measure: feel it. Drink and rest in the shade yourself.`,
      from,
      to: hot.fromDate,
      journal: 'watered',
      asks: null,
    },
  ]
}
