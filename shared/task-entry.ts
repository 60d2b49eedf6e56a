/**
 * The journal entry that says of a task that it is done. The hub writes it so; a page that cannot reach the hub keeps it so
 * until it can. Pure.
 */
import type { JournalInput } from './api/journal.js'
import type { Task } from './api/tasks.js'

/** What the grower says with "done"; what is left out is null. */
export type DoneFields = Omit<JournalInput, 'kind' | 'on' | 'planting' | 'bed'> & {
  /** null: today */
  readonly on: string | null
}

const NOTHING_SEEN = 'looked for pests, saw none'

/** What of the entry follows from the task; the rest is as it was said. */
export function entryOfTask(
  task: Pick<Task, 'asks' | 'journal' | 'planting' | 'bed'>,
  { on = null, what = null, note = null }: Partial<DoneFields>,
  today: string,
): Pick<JournalInput, 'kind' | 'note' | 'on' | 'planting' | 'bed'> {
  const isNothingSeen = task.asks === 'pests' && what === null
  return {
    kind: isNothingSeen ? 'note' : task.journal,
    note: isNothingSeen ? (note ?? NOTHING_SEEN) : note,
    on: on ?? today,
    planting: task.planting,
    // a planting's own bed is known
    bed: task.planting === null ? task.bed : null,
  }
}
