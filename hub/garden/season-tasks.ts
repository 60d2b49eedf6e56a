/**
 * The garden's to-do list (tasks-port.ts). What the rules look at takes a while to gather and is kept for a little while, or until
 * plantings, journal or crops change; answers to tasks are looked at every time.
 */
import { createHash } from 'node:crypto'
import type { Garden } from '../../shared/api/garden.js'
import type { JournalEntry } from '../../shared/api/journal.js'
import { localDate } from '../../shared/local-time.js'
import { type DoneFields, entryOfTask } from '../../shared/task-entry.js'
import { findGardenCrop } from '../core/crops/garden-crops.js'
import { journalProblems } from '../core/journal/journal-rules.js'
import { allTasks, withAnswers } from '../core/tasks/all-tasks.js'
import type { Task } from '../core/tasks/task.js'
import type { Forecasts } from '../forecast/port.js'
import type { BedMeasurements } from './measured.js'
import { createPestFlights } from './pest-flights.js'
import type { GardenRepository } from './port.js'
import { type TaskGround, type TaskViews, taskViews } from './task-views.js'
import type { DoneTask, GardenTasks, TaskList } from './tasks-port.js'

/** Readings change the figures all the time, the tasks hardly ever. */
const KEEP_MS = 2 * 60_000
/** How often a task may have been done and taken back. */
const MOST_TRIES = 200

export function createSeasonTasks(deps: {
  readonly garden: GardenRepository
  readonly measurements: Pick<BedMeasurements, 'temperatures' | 'report'>
  readonly forecasts: Pick<Forecasts, 'ahead'>
  readonly now: () => number
}): GardenTasks {
  const { garden: repository, now } = deps
  const viewDeps = { ...deps, flights: createPestFlights(deps) }
  const kept = new Map<string, { key: string; untilMs: number; views: Promise<TaskViews> }>()
  const inTurn = new Map<string, Promise<unknown>>()

  const groundOf = async (garden: Garden): Promise<TaskGround> => {
    const today = localDate(now(), garden.timeZone)
    const [beds, plantings, journal, crops] = await Promise.all([
      repository.listBeds(garden.id),
      repository.listPlantings(garden.id),
      repository.listJournal(garden.id),
      repository.listCrops(garden.id),
    ])
    const open = plantings.filter(({ finishedOn }) => finishedOn === null || finishedOn > today)
    return { today, beds, plantings: open, journal, crops }
  }

  const viewsOf = (garden: Garden, ground: TaskGround): Promise<TaskViews> => {
    const key = digest(JSON.stringify([garden, ground]))
    const known = kept.get(garden.id)
    if (known?.key === key && known.untilMs > now()) return known.views
    const views = taskViews(viewDeps, garden, ground)
    kept.set(garden.id, { key, untilMs: now() + KEEP_MS, views })
    // a failure is told to who asked, and not kept for the next
    views.catch(() => {
      if (kept.get(garden.id)?.views === views) kept.delete(garden.id)
    })
    return views
  }

  const tasksOf = async (garden: Garden, ground: TaskGround): Promise<Task[]> => {
    const { plantings, beds } = await viewsOf(garden, ground)
    return allTasks(plantings, beds, ground.today).filter(
      (task) => !isDoneByNote(garden.id, task, ground.journal),
    )
  }

  /** Two taps at once must not write two entries. */
  const turn = <T>(garden: string, work: () => Promise<T>): Promise<T> => {
    const mine = (inTurn.get(garden) ?? Promise.resolve()).then(work, work)
    inTurn.set(garden, mine)
    const clear = (): void => {
      if (inTurn.get(garden) === mine) inTurn.delete(garden)
    }
    mine.then(clear, clear)
    return mine
  }

  const write = async (
    garden: Garden,
    task: Task,
    fields: DoneFields,
    entry: string | null,
    { today, crops }: TaskGround,
  ): Promise<DoneTask> => {
    const stem = entryStem(garden.id, task.id)
    if (entry !== null && !entry.startsWith(stem))
      return {
        problems: [{ field: 'entry', message: `an entry of this task has an id that begins with ${stem}` }],
      }
    const input = { ...fields, ...entryOfTask(task, fields, today) }
    const [planting, others] =
      task.planting === null
        ? [null, []]
        : await Promise.all([
            repository.getPlanting(garden.id, task.planting),
            repository.listJournal(garden.id, { planting: task.planting }),
          ])
    const crop = (planting && findGardenCrop(planting.crop, crops)?.crop) ?? null
    const problems = journalProblems(input, { today, planting, crop, hasBed: true, others })
    if (problems.length > 0) return { problems }
    const numbered = Array.from({ length: MOST_TRIES }, (_, i) => `${stem}${i + 1}`)
    for (const id of entry === null ? numbered : [entry, ...numbered]) {
      const written = await repository.writeJournal(garden.id, id, input, now())
      // its own id is there already: it was said before, and the answer lost
      if (written.state === 'new' || (written.state === 'known' && id === entry)) {
        return { entry: written.entry }
      }
      // a numbered one is of an earlier time, or was taken back: this is another
    }
    throw new RangeError(`the task ${task.id} was done and taken back ${MOST_TRIES} times`)
  }

  return {
    async list(garden): Promise<TaskList> {
      const ground = await groundOf(garden)
      const [tasks, answers] = await Promise.all([tasksOf(garden, ground), repository.taskAnswers(garden.id)])
      return { today: ground.today, ...withAnswers(tasks, answers, ground.today) }
    },

    done: (garden, id, fields, entry) =>
      turn(garden.id, async () => {
        const ground = await groundOf(garden)
        const task = (await tasksOf(garden, ground)).find((one) => one.id === id)
        if (task) return write(garden, task, fields, entry, ground)
        const last = entriesOfTask(garden.id, id, ground.journal).at(-1)
        return last === undefined ? null : { entry: last }
      }),

    undone: (garden, id) =>
      turn(garden.id, async () => {
        const entry = entriesOfTask(garden.id, id, await repository.listJournal(garden.id)).at(-1)
        if (entry === undefined) return false
        await repository.removeJournal(garden.id, entry.id, now())
        return true
      }),

    async answer(garden, id, untilOn) {
      const ground = await groundOf(garden)
      const task = (await tasksOf(garden, ground)).find((one) => one.id === id)
      if (!task) return null
      await repository.putTaskAnswer(garden.id, { task: id, untilOn, answeredAtMs: now() })
      return task
    },

    takeBack: (garden, id) => repository.deleteTaskAnswer(garden, id),

    entryStem,
  }
}

const digest = (text: string): string => createHash('sha256').update(text).digest('hex')

/** Entries that a task has written are known by their ids, which any two hubs would make alike. */
const entryStem = (garden: string, task: string): string =>
  `task-${digest(`${garden}/${task}`).slice(0, 24)}-`

const entriesOfTask = (garden: string, task: string, journal: readonly JournalEntry[]): JournalEntry[] => {
  const stem = entryStem(garden, task)
  return journal.filter(({ id }) => id.startsWith(stem))
}

/** Whoever looked and saw nothing has noted that: only its id says for which task. */
const isDoneByNote = (garden: string, task: Task, journal: readonly JournalEntry[]): boolean =>
  task.asks === 'pests' && entriesOfTask(garden, task.id, journal).length > 0
