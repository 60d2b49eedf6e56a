/**
 * What there is to do. /gardens/{garden}/tasks. A task's id stays the same when its dates move; one that is done, or no longer
 * called for, is not there any more.
 */
import { z } from 'zod'
import { Id } from '../ids.js'
import { CalendarDate, Instant } from './garden.js'
import { JournalEntry, JournalId, JournalInput, JournalKind } from './journal.js'

export const TaskRule = z.enum([
  'sow',
  'prick-out',
  'harden-off',
  'plant-out',
  'feed',
  'net',
  'under-net',
  'pests',
  'firmness',
  'cut',
  'water',
])
export type TaskRule = z.infer<typeof TaskRule>

export const Task = z.object({
  id: z.string(),
  rule: TaskRule,
  /** null: for the whole bed */
  planting: z.string().nullable(),
  bed: Id,
  what: z.string(),
  /** with the numbers, and how well they are known */
  why: z.string(),
  how: z.string(),
  /** when to do it, both included */
  from: CalendarDate,
  to: CalendarDate,
  state: z.enum(['coming', 'due', 'overdue']),
  /** what "done" writes into the journal */
  journal: JournalKind,
  /** what "done" must be told: on which day; how firm it felt; what was seen; what was cut */
  asks: z.enum(['day', 'firmness', 'pests', 'harvest']).nullable(),
  /** put off by the grower until this day; null: not */
  putOffTo: CalendarDate.nullable(),
  /** ids of the journal entries that say it is done begin so */
  entryStem: z.string(),
})
export type Task = z.infer<typeof Task>

export const TaskList = z.object({
  today: CalendarDate,
  /** by date; no further ahead than `until` */
  tasks: z.array(Task),
  /** the grower does not want these */
  notWanted: z.array(Task),
})
export type TaskList = z.infer<typeof TaskList>

const { plants, firmness, weightKg, diameterMm, note } = JournalInput.shape

/**
 * POST /tasks/{id}/done; what is left out is not said, `on` is today. Who makes the entry's id, from the task's `entryStem` on, can
 * send the same to the journal where no answer came to this: it is written once.
 */
export const TaskDone = z.strictObject({
  entry: JournalId.nullable().default(null),
  on: CalendarDate.nullable().default(null),
  ...{ plants, firmness, weightKg, diameterMm, note },
  what: z
    .string('give text')
    .trim()
    .min(1, 'say what')
    .max(200, 'at most 200 characters')
    .nullable()
    .default(null),
})
export type TaskDone = z.infer<typeof TaskDone>

export const TaskDoneReply = z.object({ entry: JournalEntry })
export type TaskDoneReply = z.infer<typeof TaskDoneReply>

/** POST /tasks/{id}/later. */
export const TaskLater = z.strictObject({ untilOn: CalendarDate })

/** A link by which a calendar program follows the garden's tasks. */
export const CalendarLink = z.object({ id: z.string(), name: z.string(), createdAt: Instant })
export type CalendarLink = z.infer<typeof CalendarLink>

export const CalendarLinkInput = z.strictObject({
  name: z.string().trim().min(1, 'say for what or whom').max(80, 'at most 80 characters'),
})

/** `path` holds the key. It is shown this once: the hub keeps only what proves it. */
export const NewCalendarLink = CalendarLink.extend({ path: z.string() })
export type NewCalendarLink = z.infer<typeof NewCalendarLink>
