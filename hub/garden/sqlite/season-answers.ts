/** What the grower answered to tasks, and links to the calendar, in SQLite. */
import type Database from 'better-sqlite3'
import type { CalendarLink, JournalRepository, TaskAnswer } from '../journal-port.js'
import { type Answered, requireGarden } from './answered.js'

type SeasonAnswerMethods = Extract<
  keyof JournalRepository,
  | 'taskAnswers'
  | 'putTaskAnswer'
  | 'deleteTaskAnswer'
  | 'calendarLinks'
  | 'addCalendarLink'
  | 'deleteCalendarLink'
>

export function seasonAnswers(db: Database.Database): Answered<SeasonAnswerMethods> {
  return {
    taskAnswers: (garden) =>
      db
        .prepare<[string], TaskAnswer>(
          `SELECT task, until_on AS untilOn, answered_at_ms AS answeredAtMs FROM task_answers
           WHERE garden = ? ORDER BY task`,
        )
        .all(garden),
    putTaskAnswer: (garden, { task, untilOn, answeredAtMs }) => {
      requireGarden(db, garden)
      db.prepare(
        'INSERT OR REPLACE INTO task_answers (garden, task, until_on, answered_at_ms) VALUES (?, ?, ?, ?)',
      ).run(garden, task, untilOn, answeredAtMs)
    },
    deleteTaskAnswer: (garden, task) =>
      db.prepare('DELETE FROM task_answers WHERE garden = ? AND task = ?').run(garden, task).changes > 0,

    calendarLinks: (garden) =>
      db
        .prepare<[string], CalendarLink>(
          `SELECT id, name, digest, created_at_ms AS createdAtMs FROM calendar_links
           WHERE garden = ? ORDER BY created_at_ms, id`,
        )
        .all(garden),
    addCalendarLink: (garden, { id, name, digest, createdAtMs }) => {
      requireGarden(db, garden)
      db.prepare(
        'INSERT INTO calendar_links (id, garden, name, digest, created_at_ms) VALUES (?, ?, ?, ?, ?)',
      ).run(id, garden, name, digest, createdAtMs)
    },
    deleteCalendarLink: (garden, id) =>
      db.prepare('DELETE FROM calendar_links WHERE garden = ? AND id = ?').run(garden, id).changes > 0,
  }
}

/**
 * Forgets the answers to tasks of a planting or bed that goes: another bed may come by its name.
 *
 * @param stem  what ids of its tasks begin with, up to the first full stop (core/tasks/task.ts)
 */
export function forgetAnswers(db: Database.Database, garden: string, stem: string): void {
  db.prepare(
    "DELETE FROM task_answers WHERE garden = @garden AND substr(task, 1, length(@stem) + 1) = @stem || '.'",
  ).run({ garden, stem })
}
