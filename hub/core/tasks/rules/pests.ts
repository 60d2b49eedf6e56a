/** Look for eggs and caterpillars where the cabbage family stands without a net when its pests begin to fly. */
import { broodOf, type PestFlight } from '../pest-flight.js'
import {
  daysAfter,
  entriesOf,
  isBeingCut,
  later,
  type PlantingView,
  plantingTask,
  type Rule,
  type Task,
} from '../task.js'
import { exposedOn, flightsAround, isOfCabbageFamily, nettedSince } from './net.js'

/** Eggs need some days to be laid, and to be seen. */
const AFTER_DAYS = 5
const WINDOW_DAYS = 7
/** Longer ago nobody looks for the first of them. */
const OVER_DAYS = 28

export const pests: Rule = (view, today) => {
  if (!isOfCabbageFamily(view) || nettedSince(view) !== null) return []
  const exposed = exposedOn(view)
  if (exposed === null || isBeingCut(view)) return []
  const flights = flightsAround(view, later(exposed, today))
  return flights
    .filter((flight) => !isFollowedBefore(flight, flights, exposed))
    .flatMap((flight) => look(view, flight, exposed, today))
}

/** Of the broods that flew before the plants were there, only the last is still about. */
const isFollowedBefore = (flight: PestFlight, all: readonly PestFlight[], exposed: string): boolean =>
  all.some(
    ({ pest, brood, reachedOn }) =>
      pest.id === flight.pest.id && brood > flight.brood && reachedOn !== null && reachedOn <= exposed,
  )

function look(view: PlantingView, flight: PestFlight, exposed: string, today: string): Task[] {
  const { pest, brood, reachedOn, expectedOn } = flight
  const flies = reachedOn ?? expectedOn
  if (flies === null) return []
  const from = daysAfter(later(flies, exposed), AFTER_DAYS)
  const to = daysAfter(from, WINDOW_DAYS)
  // the first brood's id has no number: calendars know it by that
  const nth = brood === 0 ? '' : `-${brood + 1}`
  const seen = entriesOf(view, 'pests-seen').some(({ on }) => on >= daysAfter(from, -AFTER_DAYS))
  if (seen || today > daysAfter(from, OVER_DAYS)) return []
  return [
    plantingTask(view, 'pests', `${pest.id}-${flight.countedFrom.slice(0, 4)}${nth}`, {
      what: `Look for the ${pest.name} on the ${view.name}`,
      why: `It stands without a net, and ${broodOf(flight).who} ${reachedOn === null ? `are to be expected about ${flies}` : `have been about since ${flies}`}. ${flight.words}`,
      how: `Look for ${pest.lookFor}. Rub eggs off and pick caterpillars by hand, every few days. A net put on now keeps the next ones out. If you spray at all, read and follow the label: it says on what, how much, and how long before the harvest.`,
      from,
      to,
      journal: 'pests-seen',
      asks: 'pests',
    }),
  ]
}
