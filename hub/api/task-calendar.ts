/**
 * The to-do list as a calendar file (RFC 5545) that calendar programs subscribe to: all-day events, one a task. An event's UID
 * is the garden's and the task's and never changes; a task that changed has a later DTSTAMP and a higher SEQUENCE.
 */
import { createHash } from 'node:crypto'
import ical, { ICalEventTransparency } from 'ical-generator'
import type { Garden } from '../../shared/api/garden.js'
import { addDays } from '../../shared/local-time.js'
import type { Answered } from '../core/tasks/all-tasks.js'
import type { Task } from '../core/tasks/task.js'
import type { TaskList } from '../garden/tasks-port.js'

/** How often programs are asked to look again. Most look when they like. */
const REFRESH_S = 3 * 3_600
/** Sequence numbers count the seconds since then: they go on growing when the hub starts anew, and fit 31 bits until 2088. */
const SEQUENCE_FROM_MS = Date.UTC(2020, 0, 1)

export interface CalendarFile {
  readonly text: string
  /** strong validator, with its quotes */
  readonly etag: string
}

export interface CalendarSubject {
  readonly garden: Garden
  /** tells this garden from every other */
  readonly gardenUuid: string
  readonly list: TaskList
  readonly bedName: (bed: string) => string
  /** the page as people open it; null: not known */
  readonly publicUrl: string | null
}

/** Remembers when each task was last changed. @param now  UTC ms */
export function createTaskCalendar(now: () => number): (subject: CalendarSubject) => CalendarFile {
  const known = new Map<string, { digest: string; changedAtMs: number; sequence: number }>()

  const revision = (uid: string, content: unknown): { changedAtMs: number; sequence: number } => {
    const digest = digestOf(JSON.stringify(content))
    const before = known.get(uid)
    if (before?.digest === digest) return before
    const changedAtMs = now()
    const bySeconds = Math.floor((changedAtMs - SEQUENCE_FROM_MS) / 1000)
    const sequence = Math.max(bySeconds, before === undefined ? 0 : before.sequence + 1)
    const revised = { digest, changedAtMs, sequence }
    known.set(uid, revised)
    return revised
  }

  return (subject) => {
    const { garden, gardenUuid, list, publicUrl } = subject
    const calendar = ical({
      prodId: { company: 'hearting', product: 'tasks' },
      // the library writes the name as it comes
      name: escapedText(`${garden.name}: to do`),
      ttl: REFRESH_S,
    })
    calendar.timezone(null)
    const uids = new Set<string>()
    for (const { task } of list.open) {
      const uid = `${task.id}@${gardenUuid}`
      uids.add(uid)
      const event = eventOf(subject, task)
      const { changedAtMs, sequence } = revision(uid, event)
      const stamp = new Date(changedAtMs)
      calendar.createEvent({
        id: uid,
        ...event,
        allDay: true,
        // nobody is kept from anything by it
        transparency: ICalEventTransparency.TRANSPARENT,
        sequence,
        stamp,
        lastModified: stamp,
        url: publicUrl === null ? null : publicUrl + pathOf(task),
      })
    }
    for (const uid of known.keys()) if (uid.endsWith(`@${gardenUuid}`) && !uids.has(uid)) known.delete(uid)
    const text = `${calendar.toString()}\r\n`
    return { text, etag: `"${digestOf(text).slice(0, 32)}"` }
  }
}

const digestOf = (text: string): string => createHash('sha256').update(text).digest('hex')

function eventOf({ list, bedName }: CalendarSubject, task: Answered['task']) {
  // what is overdue would lie behind the reader: it stands on today until it is done
  const isOverdue = task.to < list.today
  const [from, to] = isOverdue ? [list.today, list.today] : [task.from, task.to]
  const where = bedName(task.bed)
  const late = isOverdue ? `It was to be done by ${task.to}.\n\n` : ''
  return {
    // dates only: read and written as UTC, they are the garden's own
    start: from,
    // the day after the last (RFC 5545 §3.6.1)
    end: addDays(to, 1),
    summary: printable(task.what.includes(where) ? task.what : `${task.what} (${where})`),
    description: printable(`${late}${task.why}\n\n${task.how}`),
  }
}

const pathOf = ({ planting }: Task): string =>
  planting === null ? '/to-do' : `/plantings/${encodeURIComponent(planting)}`

/** Control characters have no place in a calendar file (RFC 5545 §3.1), line breaks apart. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are the ones meant
const printable = (text: string): string => text.replace(/[\u0000-\u0009\u000b-\u001f\u007f]/g, ' ')

/** RFC 5545 §3.3.11 */
const escapedText = (text: string): string =>
  printable(text)
    .replace(/[\\;,]/g, (mark) => `\\${mark}`)
    .replace(/\n/g, '\\n')
