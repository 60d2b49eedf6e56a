/** Warnings in SQLite: open ones survive a restart, cleared ones are the history. */
import type Database from 'better-sqlite3'
import type { StoredWarning } from '../port.js'
import { type Answered, requireGarden } from './answered.js'
import { gravityOf, noteNews } from './warning-news.js'

const WARNING = `SELECT id, kind, cause, bed, node, planting, severity, urgency, certainty, headline, why, advice,
  raised_at_ms AS raisedAtMs, updated_at_ms AS updatedAtMs, cleared_at_ms AS clearedAtMs, seen_at_ms AS seenAtMs,
  onset_ms AS onsetMs, expires_ms AS expiresMs, chance
  FROM warnings`

type WarningMethods = 'openWarnings' | 'listWarnings' | 'getWarning' | 'saveWarning' | 'markWarningSeen'

export function warnings(db: Database.Database): Answered<WarningMethods> {
  return {
    openWarnings: (garden) =>
      db
        .prepare<[string], StoredWarning>(
          `${WARNING} WHERE garden = ? AND cleared_at_ms IS NULL ORDER BY raised_at_ms DESC, id`,
        )
        .all(garden),

    listWarnings: (garden, limit) =>
      db
        .prepare<[string, number], StoredWarning>(
          `${WARNING} WHERE garden = ? ORDER BY cleared_at_ms IS NOT NULL, raised_at_ms DESC, id LIMIT ?`,
        )
        .all(garden, limit),

    getWarning: (garden, id) =>
      db.prepare<[string, string], StoredWarning>(`${WARNING} WHERE garden = ? AND id = ?`).get(garden, id) ??
      null,

    saveWarning: (garden, warning) => {
      requireGarden(db, garden)
      const before = gravityOf(db, garden, warning.id)
      // "seen" is the grower's: an update computed meanwhile must not take it back
      db.prepare(
        `INSERT INTO warnings (id, garden, kind, cause, bed, node, planting, severity, urgency, certainty,
           headline, why, advice, raised_at_ms, updated_at_ms, cleared_at_ms, seen_at_ms, onset_ms, expires_ms, chance)
         VALUES (@id, @garden, @kind, @cause, @bed, @node, @planting, @severity, @urgency, @certainty,
           @headline, @why, @advice, @raisedAtMs, @updatedAtMs, @clearedAtMs, @seenAtMs, @onsetMs, @expiresMs, @chance)
         ON CONFLICT (id) DO UPDATE SET severity = excluded.severity, urgency = excluded.urgency,
           certainty = excluded.certainty, headline = excluded.headline, why = excluded.why,
           advice = excluded.advice, updated_at_ms = excluded.updated_at_ms,
           cleared_at_ms = excluded.cleared_at_ms, onset_ms = excluded.onset_ms,
           expires_ms = excluded.expires_ms, chance = excluded.chance, seen_at_ms = coalesce(seen_at_ms, excluded.seen_at_ms)`,
      ).run({ ...warning, garden })
      noteNews(db, garden, before, warning)
    },

    markWarningSeen: (garden, id, seenAtMs) => {
      db.prepare('UPDATE warnings SET seen_at_ms = coalesce(seen_at_ms, ?) WHERE garden = ? AND id = ?').run(
        seenAtMs,
        garden,
        id,
      )
      return (
        db
          .prepare<[string, string], StoredWarning>(`${WARNING} WHERE garden = ? AND id = ?`)
          .get(garden, id) ?? null
      )
    },
  }
}
