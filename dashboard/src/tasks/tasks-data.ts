/** The to-do list as the hub has it, and what this reader has answered since the page was opened. */
import { computed, effect, signal } from '@preact/signals'
import type {
  CalendarLink,
  NewCalendarLink,
  Task,
  TaskDone,
  TaskDoneReply,
  TaskList,
} from '../../../shared/api/tasks.js'
import { addDays } from '../../../shared/local-time.js'
import { entryOfTask } from '../../../shared/task-entry.js'
import { call, get, isHubAway } from '../api/client.js'
import { removeEntry, writeEntry } from '../journal/journal-send.js'
import { randomId } from '../outbox/one-at-a-time.js'
import { waiting } from '../outbox/outbox.js'
import { gardenId, inGarden } from '../state/garden.js'
import { resource } from '../state/resource.js'

export const tasks = resource<TaskList>((signal) => get(inGarden('/tasks'), signal))
export const calendarLinks = resource<CalendarLink[]>((signal) => get(inGarden('/calendar-links'), signal))

let listed = gardenId.peek()
effect(() => {
  if (gardenId.value === listed) return
  listed = gardenId.value
  tasks.clear()
  calendarLinks.clear()
})

/** Of a journal entry, letters. */
const LONGEST_ID = 40

export type Answer =
  | { readonly said: 'done'; readonly on: string; readonly entry: string }
  | { readonly said: 'later'; readonly untilOn: string }
  | { readonly said: 'never' }

export interface AnsweredTask {
  /** as it was when it was answered: it keeps its place on the page */
  readonly task: Task
  readonly answer: Answer
}

/** By task, since the page was opened: each can be taken back in its place. */
export const answered = signal<ReadonlyMap<string, AnsweredTask>>(new Map())

function note(task: Task, answer: Answer | null): void {
  const next = new Map(answered.peek())
  if (answer === null) next.delete(task.id)
  else next.set(task.id, { task, answer })
  answered.value = next
}

const at = ({ id }: Task, what: string): string => inGarden(`/tasks/${encodeURIComponent(id)}/${what}`)

/**
 * Says it to the hub; where that cannot be reached, its entry waits in this browser as the journal's own do. Under one id either
 * way: were only the hub's answer lost, it is not written twice.
 *
 * @throws ApiFailure  the hub will not have it
 */
export async function sayDone(
  task: Task,
  today: string,
  said: Partial<Omit<TaskDone, 'entry'>> = {},
): Promise<void> {
  const id = `${task.entryStem}${randomId()}`.slice(0, LONGEST_ID)
  try {
    const { entry } = await call<TaskDoneReply>('POST', at(task, 'done'), { ...said, entry: id })
    note(task, { said: 'done', on: entry.on, entry: entry.id })
  } catch (error) {
    if (!isHubAway(error)) throw error
    const draft = { ...said, ...entryOfTask(task, said, today) }
    const { refusal } = await writeEntry(draft, { id })
    if (refusal !== null) {
      await removeEntry(id)
      throw new Error(refusal.message)
    }
    note(task, { said: 'done', on: draft.on, entry: id })
  }
  // the list would only fail to come
  if (!isWaiting(id)) await tasks.reload()
}

/** Has the hub not had it yet? */
export const isWaiting = (entry: string): boolean =>
  waiting.value.some((item) => item.entry === entry && item.refusal === null)

/** What is answered, also of an earlier look at the page where the hub does not know of it yet: it must not be done twice. */
export const settled = computed((): ReadonlyMap<string, AnsweredTask> => {
  const known = new Map(answered.value)
  for (const task of tasks.state.value.value?.tasks ?? []) {
    const ofIt = waiting.value.filter(({ entry }) => entry.startsWith(task.entryStem))
    const takenBack = new Set(ofIt.filter((item) => item.task === 'remove').map(({ entry }) => entry))
    const item = ofIt.find((one) => one.task === 'write' && !takenBack.has(one.entry))
    if (item?.task !== 'write' || known.has(task.id)) continue
    known.set(task.id, { task, answer: { said: 'done', on: item.input.on, entry: item.entry } })
  }
  return known
})

/** Those not done yet, as far as this browser knows. */
export const notDone = (list: readonly Task[]): Task[] =>
  list.filter(({ id }) => settled.value.get(id)?.answer.said !== 'done')

export async function sayLater(task: Task, today: string, days: number): Promise<void> {
  const untilOn = addDays(today, days)
  await call('POST', at(task, 'later'), { untilOn })
  note(task, { said: 'later', untilOn })
  await tasks.reload()
}

export async function sayNever(task: Task): Promise<void> {
  await call('POST', at(task, 'never'))
  note(task, { said: 'never' })
  await tasks.reload()
}

export async function takeBack({ task, answer }: AnsweredTask): Promise<void> {
  if (answer.said === 'done' && isWaiting(answer.entry)) await removeEntry(answer.entry)
  else if (answer.said === 'done') await call('POST', at(task, 'undone'))
  else await call('DELETE', at(task, 'answer'))
  note(task, null)
  await tasks.reload()
}

/** Wanted after all, long after it was said. */
export async function wantAgain(task: Task): Promise<void> {
  await call('DELETE', at(task, 'answer'))
  note(task, null)
  await tasks.reload()
}

export const makeCalendarLink = (name: string): Promise<NewCalendarLink> =>
  call<NewCalendarLink>('POST', inGarden('/calendar-links'), { name })

export const removeCalendarLink = (id: string): Promise<null> =>
  call('DELETE', inGarden(`/calendar-links/${encodeURIComponent(id)}`))
