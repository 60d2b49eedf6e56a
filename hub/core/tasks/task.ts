/**
 * What there is to do for a planting, and what the rules that say so look at. A rule is a pure function in rules/, one a
 * file; all-tasks.ts calls them. The id of a task does not change when its dates move, so that a calendar moves an entry
 * and never doubles it.
 */
import type { Bed, Planting } from '../../../shared/api/garden.js'
import type { JournalEntry, JournalKind } from '../../../shared/api/journal.js'
import type { Task as TaskOnWire, TaskRule } from '../../../shared/api/tasks.js'
import { addDays } from '../../../shared/local-time.js'
import type { Crop, Sourced } from '../crops/crop.js'
import type { Stage } from '../crops/stages.js'
import { isPickedOver } from '../crops/standing.js'
import type { PestFlight } from './pest-flight.js'

/** What one tap must ask before the journal can be written. `day`: it may have been done on the day it was planned for. */
type TaskQuestion = NonNullable<TaskOnWire['asks']>

export interface Task {
  /** `<planting>.<rule>.<occurrence>`, or `bed-<bed>.<rule>.<occurrence>` */
  readonly id: string
  readonly rule: TaskRule
  /** null: for the whole bed */
  readonly planting: string | null
  readonly bed: string
  /** what: "Feed the early cabbage ‘Lantern’" */
  readonly what: string
  /** with the numbers, and how well they are known */
  readonly why: string
  readonly how: string
  /** local dates, both included: when to do it */
  readonly from: string
  readonly to: string
  /** the journal entry that says it is done */
  readonly journal: JournalKind
  readonly asks: TaskQuestion | null
}

export const taskState = ({ from, to }: Pick<Task, 'from' | 'to'>, today: string): TaskOnWire['state'] =>
  today < from ? 'coming' : today <= to ? 'due' : 'overdue'

/** When a stage that lies ahead is to be expected. */
export interface StageAhead {
  readonly expectedOn: string | null
  readonly earliestOn: string | null
  readonly latestOn: string | null
}

/** A run of hot days to come in a bed. */
export interface HotSpell {
  /** its first day as it will most likely come */
  readonly fromDate: string
  /** 0 to 1, that it comes at all */
  readonly chance: number
  readonly limitC: number
  /** of the middle course */
  readonly hottestC: number
  /** who spoke, and what it rests on */
  readonly words: string
}

/** A planting as the rules see it; one that is finished is not looked at. */
export interface PlantingView {
  readonly planting: Planting
  readonly crop: Crop
  /** as growers say it: "early cabbage ‘Lantern’" */
  readonly name: string
  readonly bed: Bed
  readonly stage: Stage | null
  readonly reachedOn: ReadonlyMap<Stage, string>
  readonly ahead: ReadonlyMap<Stage, StageAhead>
  /** what the dates ahead rest on, in words */
  readonly aheadWords: string
  /** of the planting, or of its whole bed since it began; ascending by date */
  readonly journal: readonly JournalEntry[]
  /** mean of the last days, °C; null: not measured */
  readonly soilMeanC: number | null
  readonly airMeanC: number | null
  /** of this season and the next, in the garden's own degree days; only where the cabbage family grows */
  readonly flights: readonly PestFlight[]
}

export type Rule = (view: PlantingView, today: string) => Task[]

/** When a planting began to stand in its bed: planted out, or sown in place; null: no date. */
export const beganOn = ({ planting }: PlantingView): string | null => planting.plantedOutOn ?? planting.sownOn

/** Entries of some kinds, ascending by date. */
export const entriesOf = (
  { journal }: Pick<PlantingView, 'journal'>,
  ...kinds: readonly JournalKind[]
): JournalEntry[] => journal.filter(({ kind }) => kinds.includes(kind))

/** Plants that are not cut, lost or bolted; 0 when one of these was said without a number: of all that were left. */
export function plantsLeft(view: Pick<PlantingView, 'planting' | 'crop' | 'journal'>): number {
  const gone = [
    ...entriesOf(view, 'lost', 'bolted'),
    ...(isPickedOver(view.crop) ? [] : entriesOf(view, 'cut')),
  ]
  if (gone.some(({ plants }) => plants === null)) return 0
  return Math.max(0, view.planting.plants - gone.reduce((sum, { plants }) => sum + (plants ?? 0), 0))
}

/** Its heads are being cut: it is not cared for any more. What is picked over is. */
export const isBeingCut = (view: Pick<PlantingView, 'crop' | 'journal'>): boolean =>
  !isPickedOver(view.crop) && entriesOf(view, 'cut').length > 0

/** A stage's date: reached, else the one it is expected on; null: not known. */
export const dateOfStage = ({ reachedOn, ahead }: PlantingView, stage: Stage): string | null =>
  reachedOn.get(stage) ?? ahead.get(stage)?.expectedOn ?? null

/** A task of a planting, with its id. */
export function plantingTask(
  view: PlantingView,
  rule: TaskRule,
  occurrence: number | string,
  rest: Pick<Task, 'what' | 'why' | 'how' | 'from' | 'to' | 'journal'> & { readonly asks?: TaskQuestion },
): Task {
  const { planting } = view
  return {
    id: `${planting.id}.${rule}.${occurrence}`,
    rule,
    planting: planting.id,
    bed: planting.bed,
    asks: null,
    ...rest,
  }
}

export const later = (a: string, b: string): string => (a > b ? a : b)
export const daysAfter = (date: string, n: number): string => addDays(date, n)

/** How well a number is known, in brackets after it. */
export const sourceWords = ({ source, note }: Sourced<unknown>): string => {
  switch (source) {
    case 'published':
      return note
    case 'common practice':
      return 'common practice, no source'
    case 'memory':
      return 'from memory, not checked'
    case 'derived':
      return `worked out: ${note}`
    case 'grower':
      return 'your own figure'
  }
}
