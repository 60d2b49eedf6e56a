/** News of warnings: written with the warning itself, kept until somebody has decided whom to tell. */
import type Database from 'better-sqlite3'
import type { WarningEvent, WarningNews } from '../delivery-port.js'
import type { StoredWarning } from '../port.js'
import type { Answered } from './answered.js'

type Gravity = Pick<StoredWarning, 'severity' | 'urgency' | 'certainty' | 'clearedAtMs'>

/** As the table has it before a warning is saved; null: a new one. */
export const gravityOf = (db: Database.Database, garden: string, id: string): Gravity | null =>
  db
    .prepare<[string, string], Gravity>(
      'SELECT severity, urgency, certainty, cleared_at_ms AS clearedAtMs FROM warnings WHERE garden = ? AND id = ?',
    )
    .get(garden, id) ?? null

/** Only what changes what to do about it is news: new numbers in an open warning are not. */
export function eventOf(before: Gravity | null, now: Gravity): WarningEvent | null {
  if (before === null) return now.clearedAtMs === null ? 'raised' : null
  if (before.clearedAtMs === null && now.clearedAtMs !== null) return 'cleared'
  if (now.clearedAtMs !== null) return null
  const isSame =
    before.severity === now.severity && before.urgency === now.urgency && before.certainty === now.certainty
  return isSame ? null : 'changed'
}

/** Writes down what the saving of a warning means; call in its transaction. */
export function noteNews(
  db: Database.Database,
  garden: string,
  before: Gravity | null,
  now: StoredWarning,
): void {
  const event = eventOf(before, now)
  if (event === null) return
  db.prepare('INSERT INTO warning_news (garden, warning, event, at_ms, snapshot) VALUES (?, ?, ?, ?, ?)').run(
    garden,
    now.id,
    event,
    now.updatedAtMs,
    JSON.stringify(now),
  )
}

interface NewsRow {
  readonly seq: number
  readonly garden: string
  readonly event: WarningEvent
  readonly atMs: number
  readonly snapshot: string
}

export function warningNews(
  db: Database.Database,
): Answered<'warningNewsTimes' | 'unplannedNews' | 'planDeliveries'> {
  return {
    warningNewsTimes: (garden, warning) =>
      db
        .prepare<[string, string], number>(
          `SELECT at_ms FROM warning_news WHERE garden = ? AND warning = ? AND event <> 'cleared' ORDER BY at_ms`,
        )
        .pluck()
        .all(garden, warning),

    unplannedNews: (limit) =>
      db
        .prepare<[number], NewsRow>(
          `SELECT seq, garden, event, at_ms AS atMs, snapshot FROM warning_news
           WHERE planned = 0 ORDER BY seq LIMIT ?`,
        )
        .all(limit)
        .map(
          ({ snapshot, ...row }): WarningNews => ({ ...row, warning: JSON.parse(snapshot) as StoredWarning }),
        ),

    planDeliveries: (seqs, deliveries) => {
      const decide = db.prepare('UPDATE warning_news SET planned = 1 WHERE seq = ? AND planned = 0')
      const put = db.prepare(
        `INSERT INTO deliveries
           (news, garden, warning, channel, target, form, state, due_ms, trouble, settled_at_ms)
         SELECT seq, garden, warning, @channel, @target, @form,
           CASE WHEN @dropped IS NULL THEN 'waiting' ELSE 'dropped' END, @dueMs, @dropped,
           CASE WHEN @dropped IS NULL THEN NULL ELSE at_ms END
         FROM warning_news WHERE seq = @seq ON CONFLICT DO NOTHING`,
      )
      for (const seq of seqs) decide.run(seq)
      for (const delivery of deliveries) put.run(delivery)
    },
  }
}
