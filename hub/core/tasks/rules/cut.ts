/** Cut what felt firm before it splits; what has split, at once. */
import { isCabbage } from '../../crops/cabbages.js'
import { isPickedOver } from '../../crops/standing.js'
import { celsius } from '../../words.js'
import { daysAfter, entriesOf, type PlantingView, plantingTask, type Rule } from '../task.js'

/** How long a ripe head stands: about two weeks in summer, three to four in autumn (crops/cabbages.ts). */
const STANDS_DAYS = { warm: 14, cool: 21 } as const
/** Summer or autumn, by the mean of the last days, °C. Our own line. */
const WARM_C = 15

export const cut: Rule = (view) => {
  const felt = entriesOf(view, 'firmness').find((entry) => entry.firmness === 'firm') ?? null
  const split = entriesOf(view, 'split').at(-1) ?? null
  if (felt === null && split === null) return []
  const cuts = entriesOf(view, 'cut')
  // whoever has begun to pick goes on without being told
  if (cuts.length > 0 && isPickedOver(view.crop)) return []
  const isSplit = split !== null && (felt === null || split.on >= felt.on)
  const from = isSplit ? split.on : (felt ?? split)!.on
  const isWarm = view.airMeanC === null || view.airMeanC >= WARM_C
  const days = STANDS_DAYS[isWarm ? 'warm' : 'cool']
  return [
    plantingTask(view, 'cut', cuts.length + 1, {
      what: `${isSplit ? 'Cut at once' : 'Cut'}: ${view.name}${cuts.length === 0 ? '' : ', what is left of it'}`,
      why: isSplit
        ? `A head was split on ${split.on}; it keeps only days, and the others are as ripe.`
        : `It felt firm on ${from}. ${standing(view, days)}${isCabbage(view.crop) ? SPLITTING : ''}`,
      how: `${view.crop.readiness.value} Water evenly until then.${isCabbage(view.crop) ? SLOWER : ''}${netWords(view)}`,
      from,
      to: daysAfter(from, isSplit ? 1 : days),
      journal: 'cut',
      asks: 'harvest',
    }),
  ]
}

function standing({ airMeanC, crop }: PlantingView, days: number): string {
  const at = airMeanC === null ? '' : ` (the last days had ${celsius(airMeanC)})`
  return isCabbage(crop)
    ? `A ripe head stands about ${days} days at this warmth${at} before it cracks (${crop.readiness.note}).`
    : `It stays good for about ${days} days at most${at} (common practice, no source).`
}

const SPLITTING =
  ' Rain and water after a dry time split ripe heads, and how wet the soil is the hub does not measure.'
const SLOWER =
  ' What cannot be cut yet: give the head a half turn, or cut the roots on one side with a spade, which slows splitting (secondary copy).'

const netWords = (view: PlantingView): string =>
  entriesOf(view, 'netted', 'net-off').at(-1)?.kind === 'netted' ? ' Now the net may come off for good.' : ''
