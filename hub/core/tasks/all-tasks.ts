/** All that there is to do in a garden, and what the grower has answered to it. Pure. */
import type { Bed } from '../../../shared/api/garden.js'
import type { JournalEntry } from '../../../shared/api/journal.js'
import type { TaskRule } from '../../../shared/api/tasks.js'
import { cut } from './rules/cut.js'
import { feed } from './rules/feed.js'
import { firmness } from './rules/firmness.js'
import { hardenOff } from './rules/harden-off.js'
import { net } from './rules/net.js'
import { pests } from './rules/pests.js'
import { plantOut } from './rules/plant-out.js'
import { prickOut } from './rules/prick-out.js'
import { sow } from './rules/sow.js'
import { underNet } from './rules/under-net.js'
import { waterBeforeHeat } from './rules/water-before-heat.js'
import { type HotSpell, later, type PlantingView, plantsLeft, type Rule, type Task } from './task.js'

const RULES: readonly Rule[] = [sow, prickOut, hardenOff, plantOut, feed, net, underNet, pests, firmness, cut]

export interface BedView {
  readonly bed: Bed
  /** null: none to be expected, or not known */
  readonly hot: HotSpell | null
  /** names of what stands in it today */
  readonly standing: readonly string[]
  /** of the bed and its plantings, since what stands there began */
  readonly journal: readonly JournalEntry[]
}

/** By date, then by bed, so that the same garden gives the same list. A planting of which nothing is left asks for nothing. */
export function allTasks(
  plantings: readonly PlantingView[],
  beds: readonly BedView[],
  today: string,
): Task[] {
  return [
    ...plantings
      .filter((view) => plantsLeft(view) > 0)
      .flatMap((view) => RULES.flatMap((rule) => rule(view, today))),
    ...beds.flatMap(({ bed, hot, standing, journal }) => waterBeforeHeat(bed, standing, hot, journal)),
  ].sort(byDate)
}

/** Of one day those of one bed together, in the order of a plant's life. */
const byDate = (a: Task, b: Task): number =>
  compare(a.from, b.from) || compare(a.bed, b.bed) || orderOf(a) - orderOf(b) || compare(a.id, b.id)
const ORDER: readonly TaskRule[] = [
  'sow',
  'prick-out',
  'harden-off',
  'plant-out',
  'net',
  'feed',
  'under-net',
  'pests',
  'water',
  'firmness',
  'cut',
]
const orderOf = ({ rule }: Task): number => ORDER.indexOf(rule)
const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)

export interface Answered {
  readonly task: Task
  /** not before this date, as the grower asked; null: nothing was asked, or it is past */
  readonly putOffTo: string | null
}

export interface Sorted {
  readonly open: readonly Answered[]
  /** not wanted at all */
  readonly never: readonly Task[]
}

/** Tasks as the grower answered them: put off to a later day, or not wanted. */
export function withAnswers(
  tasks: readonly Task[],
  answers: readonly { readonly task: string; readonly untilOn: string | null }[],
  today: string,
): Sorted {
  const byTask = new Map(answers.map((answer) => [answer.task, answer.untilOn]))
  const open: Answered[] = []
  const never: Task[] = []
  for (const task of tasks) {
    const untilOn = byTask.get(task.id)
    if (untilOn === null) never.push(task)
    else if (untilOn === undefined || untilOn <= task.from) open.push({ task, putOffTo: null })
    else {
      const moved = { ...task, from: untilOn, to: later(task.to, untilOn) }
      open.push({ task: moved, putOffTo: untilOn > today ? untilOn : null })
    }
  }
  open.sort((a, b) => byDate(a.task, b.task))
  return { open, never }
}
