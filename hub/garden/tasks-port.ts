/** What there is to do in a garden, and the grower's answers to it. Implemented by season-tasks.ts. */
import type { Garden } from '../../shared/api/garden.js'
import type { JournalEntry } from '../../shared/api/journal.js'
import type { DoneFields } from '../../shared/task-entry.js'
import type { JournalProblem } from '../core/journal/journal-rules.js'
import type { Sorted } from '../core/tasks/all-tasks.js'
import type { Task } from '../core/tasks/task.js'

export interface TaskList extends Sorted {
  /** the garden's date */
  readonly today: string
}

/** The entry that says so, or what is wrong with what was said. */
export type DoneTask =
  | { readonly entry: JournalEntry }
  | { readonly problems: readonly (JournalProblem | { readonly field: 'entry'; readonly message: string })[] }

export interface GardenTasks {
  list(garden: Garden): Promise<TaskList>
  /**
   * Writes the journal entry that says so; once, however often it is said.
   *
   * @param entry  the entry's id, where who says it has made one: it begins with entryStem; null: the hub makes it
   * @returns null: there is no such task, and none such was done
   * @throws GardenError  as writeJournal does
   */
  done(garden: Garden, id: string, fields: DoneFields, entry: string | null): Promise<DoneTask | null>
  /** Takes the entry back. false: it was not done */
  undone(garden: Garden, id: string): Promise<boolean>
  /** Not before a day, or (null) never. null: there is no such task */
  answer(garden: Garden, id: string, untilOn: string | null): Promise<Task | null>
  /** false: there was no answer */
  takeBack(garden: string, id: string): Promise<boolean>
  /** What the ids of all journal entries that say a task is done begin with */
  entryStem(garden: string, id: string): string
}
