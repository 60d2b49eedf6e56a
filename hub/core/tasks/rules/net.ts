/** Net the cabbage family before its flies and butterflies come. Other crops have nothing from a net against those. */
import { daysBetween } from '../../../../shared/local-time.js'
import { isPickedOver } from '../../crops/standing.js'
import { familyOf } from '../../plan/plant-family.js'
import { capital } from '../../words.js'
import { broodOf, nextSeasonStart, type PestFlight } from '../pest-flight.js'
import { EDGES, MESH } from '../pest-table.js'
import {
  beganOn,
  dateOfStage,
  daysAfter,
  entriesOf,
  isBeingCut,
  later,
  type PlantingView,
  plantingTask,
  type Rule,
  sourceWords,
} from '../task.js'

/** With the flight still far off a net only needs to be ready. */
const BEFORE_FLIGHT_DAYS = 14
const WINDOW_DAYS = 3

export const isOfCabbageFamily = ({ crop }: Pick<PlantingView, 'crop'>): boolean =>
  familyOf(crop)?.botanical === 'Brassicaceae'

/** On which date it was netted, and still is; null: it is not. */
export function nettedSince(view: Pick<PlantingView, 'journal'>): string | null {
  const last = entriesOf(view, 'netted', 'net-off').at(-1)
  return last?.kind === 'netted' ? last.on : null
}

/** When plants stand where pests can reach them; null: not known. */
export const exposedOn = (view: PlantingView): string | null =>
  view.planting.plantedOutOn ?? dateOfStage(view, 'emerged') ?? beganOn(view)

/** The flights of the season in which a date lies, the soonest first; those whose date is not known at the end. */
export function flightsAround({ flights }: PlantingView, date: string): PestFlight[] {
  const soonest = ({ reachedOn, earliestOn, expectedOn }: PestFlight): string =>
    reachedOn ?? earliestOn ?? expectedOn ?? '9999'
  return flights
    .filter(({ countedFrom }) => countedFrom <= date && date < nextSeasonStart(countedFrom))
    .sort((a, b) => (soonest(a) < soonest(b) ? -1 : 1))
}

export const net: Rule = (view, today) => {
  if (!isOfCabbageFamily(view) || nettedSince(view) !== null) return []
  const exposed = exposedOn(view)
  if (exposed === null || isNearlyOver(view, today)) return []
  const around = flightsAround(view, later(exposed, today))
  const first = around.find(({ reachedOn, expectedOn }) => reachedOn !== null || expectedOn !== null) ?? null
  const { from, to } = windowOf(exposed, first)
  return [
    plantingTask(view, 'net', entriesOf(view, 'netted').length + 1, {
      what: `Net the ${view.name}`,
      why: `${whenWords(exposed, first, today)}${reasonOf(first ?? around[0] ?? null)}`,
      how: `Insect-proof mesh: ${MESH.rootFlyMm.value} mm keeps the root fly out, 5 to ${MESH.whitesMm.value} mm the white butterflies (${sourceWords(MESH.whitesMm)}). ${capital(EDGES.value)} (${EDGES.note}). Put it on at planting out, over clean plants; not where cabbages or their kin stood last year, or flies come up inside. It stays on until the harvest: nothing that is eaten here needs pollinating. Wide-meshed nets trap birds and hedgehogs: keep them taut, and look every day.`,
      from,
      to,
      journal: 'netted',
    }),
  ]
}

/** A net just before the harvest is not worth the trouble, unless that goes on for weeks. */
function isNearlyOver(view: PlantingView, today: string): boolean {
  const ready = dateOfStage(view, 'ready')
  return isBeingCut(view) || (ready !== null && !isPickedOver(view.crop) && daysBetween(today, ready) < 14)
}

function windowOf(exposed: string, first: PestFlight | null): { from: string; to: string } {
  const soonest = first === null || first.reachedOn !== null ? null : (first.earliestOn ?? first.expectedOn)
  if (soonest === null || soonest <= exposed) return { from: exposed, to: daysAfter(exposed, WINDOW_DAYS) }
  const from = later(exposed, daysAfter(soonest, -BEFORE_FLIGHT_DAYS))
  return { from, to: later(from, daysAfter(soonest, -1)) }
}

function whenWords(exposed: string, first: PestFlight | null, today: string): string {
  if (first === null) return `It stands in reach of flies and butterflies from ${exposed} on. `
  const { reachedOn, expectedOn, earliestOn, latestOn } = first
  const { who } = broodOf(first)
  if (reachedOn !== null) {
    return `By the warmth of this garden ${who} have been about since ${reachedOn}: net it ${exposed > today ? 'as soon as it is out' : 'now'}. `
  }
  const interval = earliestOn === null ? '' : `, between ${earliestOn} and ${latestOn} eight times in ten`
  return `By the warmth of this garden ${who} come about ${expectedOn}${interval}. `
}

const reasonOf = (flight: PestFlight | null): string => flight?.words ?? 'When they fly cannot be told here.'
