/** The to-do list as the hub has it, and what this reader has answered since the page was opened. */
import { effect, signal } from '@preact/signals'
import type {
  CalendarLink,
  NewCalendarLink,
  Task,
  TaskDone,
  TaskDoneReply,
  TaskList,
} from '../../../shared/api/tasks.js'
import { addDays } from '../../../shared/local-time.js'
import { call, get } from '../api/client.js'
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

export type Answer =
  | { readonly said: 'done'; readonly on: string }
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

export async function sayDone(task: Task, said: Partial<TaskDone> = {}): Promise<void> {
  const { entry } = await call<TaskDoneReply>('POST', at(task, 'done'), said)
  note(task, { said: 'done', on: entry.on })
  await tasks.reload()
}

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
  if (answer.said === 'done') await call('POST', at(task, 'undone'))
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
