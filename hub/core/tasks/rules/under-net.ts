/** A net is lifted to weed and to look, and for nothing else: what is eaten of the cabbage family needs no pollinating. */
import { daysAfter, entriesOf, isBeingCut, plantingTask, type Rule } from '../task.js'
import { isOfCabbageFamily, nettedSince } from './net.js'

/** Common practice. */
const EVERY_DAYS = 14
const WINDOW_DAYS = 5

export const underNet: Rule = (view) => {
  const netted = nettedSince(view)
  if (!isOfCabbageFamily(view) || netted === null) return []
  if (isBeingCut(view)) return []
  const looks = entriesOf(view, 'weeded').filter(({ on }) => on > netted)
  const last = looks.at(-1)?.on ?? netted
  const due = daysAfter(last, EVERY_DAYS)
  return [
    plantingTask(view, 'under-net', `${entriesOf(view, 'netted').length}-${looks.length + 1}`, {
      what: `Weed and look under the net of the ${view.name}`,
      why: `Netted on ${netted}${looks.length === 0 ? '' : `, last weeded on ${last}`}. A net keeps flies and butterflies out, not weeds, slugs, aphids or what came up inside: look every ${EVERY_DAYS} days (common practice, no source). It need not come off for anything else before the harvest: no part that is eaten needs pollinating.`,
      how: 'Lift one side on a cool, still morning or evening, weed, look under a few leaves and at the stems, and close the edges again at once. In great heat look whether it is hotter under it than beside it: only then leave it open for the hottest hours.',
      from: due,
      to: daysAfter(due, WINDOW_DAYS),
      journal: 'weeded',
    }),
  ]
}
