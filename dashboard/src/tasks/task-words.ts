/** The to-do list in words: groups by date, when a task is due, the line on the Today page. Pure. */
import type { Task } from '../../../shared/api/tasks.js'
import { addDays } from '../../../shared/local-time.js'
import { listInWords, numberWord } from '../format/durations.js'
import { shortDate } from '../format/local-clock.js'
import { capital, small } from '../format/sentences.js'

export type Group = 'now' | 'week' | 'later'

const WEEK_DAYS = 7

export const GROUP_WORDS: Readonly<Record<Group, string>> = {
  now: 'Now',
  week: 'Within a week',
  later: 'Later',
}
export const GROUPS: readonly Group[] = ['now', 'week', 'later']

export function groupOf({ from }: Pick<Task, 'from'>, today: string): Group {
  if (from <= today) return 'now'
  return from <= addDays(today, WEEK_DAYS) ? 'week' : 'later'
}

/**
 * In the order in which they press: what is due by its last day, then what is overdue, the latest first (what was left for
 * months can wait another hour), then what is to come by its first day.
 */
export function byPressure(a: Task, b: Task): number {
  const rank = (task: Task): number => ['due', 'overdue', 'coming'].indexOf(task.state)
  if (a.state !== b.state) return rank(a) - rank(b)
  const [before, after] =
    a.state === 'overdue' ? [b.to, a.to] : a.state === 'due' ? [a.to, b.to] : [a.from, b.from]
  return before < after ? -1 : before > after ? 1 : a.id < b.id ? -1 : 1
}

/** 'by Sat 12 Jun', 'was due by Sat 5 Jun', 'from Tue 15 to Sat 19 Jun', 'put off to Fri 18 Jun' */
export function whenWords({ from, to, state, putOffTo }: Task, today: string): string {
  if (putOffTo !== null) return `put off to ${shortDate(putOffTo)}`
  switch (state) {
    case 'overdue':
      return `overdue: was to be done by ${shortDate(to)}`
    case 'due':
      return to === today ? 'today' : `by ${shortDate(to)}`
    case 'coming':
      return from === to ? `on ${shortDate(from)}` : `from ${shortDate(from)} to ${shortDate(to)}`
  }
}

/** 'Nothing', 'One thing', 'Three things' */
export const things = (n: number): string =>
  n === 0 ? 'Nothing' : `${capital(numberWord(n))} ${n === 1 ? 'thing' : 'things'}`

/** 'Three things to do now, and two more within a week.' */
export function summaryWords(tasks: readonly Task[], today: string): string {
  const now = tasks.filter((task) => groupOf(task, today) === 'now').length
  const week = tasks.filter((task) => groupOf(task, today) === 'week').length
  const soon =
    week === 0
      ? ''
      : now === 0
        ? `; ${things(week).toLowerCase()} within a week`
        : `, and ${numberWord(week)} more within a week`
  return `${things(now)} to do now${soon}.`
}

/** So many are named on the Today page. */
const NAMED = 3

/** 'feed the early cabbage, net the kale and two more'; null: nothing is due */
export function dueWords(
  tasks: readonly Task[],
  today: string,
): { readonly count: number; readonly names: string } | null {
  const due = tasks.filter((task) => groupOf(task, today) === 'now').sort(byPressure)
  if (due.length === 0) return null
  const named = due.slice(0, due.length > NAMED ? NAMED - 1 : NAMED).map(({ what }) => small(what))
  const rest = due.length - named.length
  if (rest > 0) named.push(`${rest} more`)
  return { count: due.length, names: listInWords(named) }
}

/** "Not yet" puts a task off by so much. */
export const PUT_OFF_DAYS = 3
export const PUT_OFF_LONGER_DAYS = 7

/** What a hand can feel, by what the crop forms: only heads are felt. */
export const firmnessChoices = (what: string) =>
  what.startsWith('Feel')
    ? ([
        { value: 'soft', label: 'Soft' },
        { value: 'giving', label: 'Giving' },
        { value: 'firm', label: 'Firm' },
      ] as const)
    : ([
        { value: 'soft', label: 'Not ready' },
        { value: 'giving', label: 'Nearly' },
        { value: 'firm', label: 'Ready' },
      ] as const)
