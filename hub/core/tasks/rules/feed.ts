/**
 * Feed every two weeks in growth and when heads start; then no more. Counted from the last feed in the journal. Crops that
 * the library wants fed once are fed once, peas and radishes not at all.
 */
import { daysBetween } from '../../../../shared/local-time.js'
import { isCabbage } from '../../crops/cabbages.js'
import { type Crop, fromMemory, fromPractice, type Sourced } from '../../crops/crop.js'
import { familyOf } from '../../plan/plant-family.js'
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
  type Task,
} from '../task.js'

const EVERY_DAYS: Sourced = fromMemory(14, 'a liquid feed every two weeks: usual advice for containers')
/** For crops fed once: after planting out. */
const ONCE_AFTER_DAYS: Sourced = fromPractice(21, 'growers’ rule')
const WINDOW_DAYS = 4
/** The feed at heading: so long before it one counts as that feed already … */
const COUNTS_BEFORE_DAYS = 6
/** … so long after it the heads are half grown, and nitrogen makes them split and burn at the tips (from memory). */
const HEADING_WINDOW_DAYS = 10
const HEADING_OVER_DAYS = 21

type Plan = 'fortnightly' | 'once' | 'none'

/** By what the crop forms and of what family it is; the library's own words on feeding go with the task. */
export function feedingPlan(crop: Crop): Plan {
  if (crop.forms === 'pods' || crop.forms === 'root') return 'none'
  const { botanical } = familyOf(crop) ?? { botanical: '' }
  const isHungry = (botanical === 'Brassicaceae' && crop.forms !== 'stem') || crop.forms === 'stalks'
  return isHungry ? 'fortnightly' : 'once'
}

export const feed: Rule = (view, today) => {
  const plan = feedingPlan(view.crop)
  const began = beganOn(view)
  if (plan === 'none' || began === null || view.planting.finishedOn !== null) return []
  const readyOn = view.reachedOn.get('ready') ?? null
  if (isBeingCut(view)) return []
  if (readyOn !== null && readyOn <= today && view.crop.forms !== 'leaves') return []
  return [...growing(view, plan, began, today), ...atHeading(view, plan, today)]
}

/** Entries that fed it since it began. */
const fedOf = (view: PlantingView, began: string): string[] =>
  entriesOf(view, 'fed')
    .map(({ on }) => on)
    .filter((on) => on >= began)

/** Sown in place, it is fed once it has leaves to make something of it. */
function startsOn(view: PlantingView, began: string): string | null {
  if (view.planting.plantedOutOn !== null) return began
  return dateOfStage(view, 'leafing')
}

function growing(view: PlantingView, plan: Plan, began: string, today: string): Task[] {
  const fed = fedOf(view, began)
  if (plan === 'once' && fed.length > 0) return []
  const starts = startsOn(view, began)
  if (starts === null) return []
  const interval = plan === 'once' ? ONCE_AFTER_DAYS : EVERY_DAYS
  const last = fed.at(-1) ?? null
  const due = daysAfter(last ?? starts, interval.value)
  const headingOn = view.crop.degreeDays.toHeading === null ? null : dateOfStage(view, 'heading')
  // so near to the feed at heading that one would do for both, or past it
  const soonest = later(due, today)
  if (plan === 'fortnightly' && headingOn !== null && daysBetween(soonest, headingOn) < COUNTS_BEFORE_DAYS)
    return []
  const since =
    last === null
      ? `no feed is in the journal since ${view.planting.plantedOutOn === null ? 'its first leaves' : 'it was planted out'} (${starts})`
      : `last fed on ${last}`
  const rhythm =
    plan === 'once'
      ? `It wants one feed, about ${interval.value} days on (${sourceWords(interval)})`
      : `In growth it is fed every ${interval.value} days (${sourceWords(interval)})`
  return [
    plantingTask(view, 'feed', fed.length + 1, {
      what: `Feed the ${view.name}`,
      why: `${rhythm}; ${since}.`,
      how: plan === 'once' ? howTo(view) : howBetween(view),
      from: due,
      to: daysAfter(due, WINDOW_DAYS),
      journal: 'fed',
    }),
  ]
}

function atHeading(view: PlantingView, plan: Plan, today: string): Task[] {
  const { crop, reachedOn } = view
  if (crop.degreeDays.toHeading === null || (plan === 'once' && crop.forms !== 'stem')) return []
  const on = dateOfStage(view, 'heading')
  if (on === null || daysBetween(on, today) > HEADING_OVER_DAYS) return []
  const isFed = entriesOf(view, 'fed').some((entry) => entry.on >= daysAfter(on, -COUNTS_BEFORE_DAYS))
  if (isFed) return []
  const when = reachedOn.has('heading')
    ? `The ${part(crop)} began to form on ${on}`
    : `The ${part(crop)} should begin to form about ${on}. ${view.aheadWords}`
  return [
    plantingTask(view, 'feed', 'heading', {
      what: `Feed the ${view.name} as the ${part(crop)} ${crop.forms === 'sprouts' ? 'form' : 'forms'}`,
      why: `${when}${when.endsWith('.') ? '' : '.'} Then it needs most${isCabbage(crop) ? '; after it no more nitrogen, or heads split and burn at the tips' : ''} (${sourceWords(crop.feeding)}).`,
      how: howTo(view),
      from: on,
      to: daysAfter(on, HEADING_WINDOW_DAYS),
      journal: 'fed',
    }),
  ]
}

const part = ({ forms }: Crop): string =>
  forms === 'stalks' ? 'heart' : forms === 'leaves' ? 'rosette' : forms

const AMOUNT = 'Take the amount from the packet; water first if the soil is dry.'

/** The library's own words; for the feeds between, which they do not know of, ours. */
const howTo = ({ crop }: PlantingView): string => `${crop.feeding.value} ${AMOUNT}`

const howBetween = ({ bed }: PlantingView): string =>
  `${
    bed.kind === 'container'
      ? 'A liquid feed: in a container it washes out quickly, so little and often.'
      : 'A light feed. Rich ground may need none in between: extension advice there is one feed, when what is eaten begins to form. Dark leaves and soft growth say too much, pale lower leaves too little.'
  } ${AMOUNT}`
