/** Settings of delivery and the outbox, in SQLite: recorded before anything is sent, marked after. */
import { randomUUID } from 'node:crypto'
import type Database from 'better-sqlite3'
import { DeliverySettings } from '../../../shared/api/delivery.js'
import type { DeliveryRepository, StoredDelivery } from '../delivery-port.js'
import type { StoredWarning } from '../port.js'
import { type Answered, requireGarden } from './answered.js'

const DELIVERY = `SELECT d.id, d.garden, d.channel, d.target, n.event, n.at_ms AS atMs, n.snapshot, d.form, d.state,
  d.due_ms AS dueMs, d.attempts, d.message_id AS messageId, d.trouble, d.settled_at_ms AS settledAtMs
  FROM deliveries d JOIN warning_news n ON n.seq = d.news`

type Row = Omit<StoredDelivery, 'warning'> & { readonly snapshot: string }

const asDelivery = ({ snapshot, ...row }: Row): StoredDelivery => ({
  ...row,
  warning: JSON.parse(snapshot) as StoredWarning,
})

type Methods = Exclude<
  keyof DeliveryRepository,
  'getWarning' | 'warningNewsTimes' | 'unplannedNews' | 'planDeliveries'
>

export function deliveries(db: Database.Database): Answered<Methods> {
  return {
    deliverySettings: (garden) => {
      const row = db
        .prepare<[string], { settings: string; webhookSecret: string | null }>(
          'SELECT settings, webhook_secret AS webhookSecret FROM delivery_settings WHERE garden = ?',
        )
        .get(garden)
      // parsed by the schema: settings that a later version added take their defaults
      return row === undefined
        ? null
        : { ...DeliverySettings.parse(JSON.parse(row.settings)), webhookSecret: row.webhookSecret }
    },

    putDeliverySettings: (garden, { webhookSecret, ...settings }) => {
      requireGarden(db, garden)
      db.prepare(
        'INSERT OR REPLACE INTO delivery_settings (garden, settings, webhook_secret) VALUES (?, ?, ?)',
      ).run(garden, JSON.stringify(settings), webhookSecret)
    },

    gardenUuid: (garden) => {
      db.prepare(
        'INSERT INTO garden_uuids (garden, uuid, made_at_ms) VALUES (?, ?, ?) ON CONFLICT DO NOTHING',
      ).run(garden, randomUUID(), Date.now())
      return db
        .prepare<[string], { uuid: string; madeAtMs: number }>(
          'SELECT uuid, made_at_ms AS madeAtMs FROM garden_uuids WHERE garden = ?',
        )
        .get(garden)!
    },

    deliveriesOf: (garden, warning) =>
      db
        .prepare<[string, string], Row>(`${DELIVERY} WHERE d.garden = ? AND d.warning = ? ORDER BY d.id DESC`)
        .all(garden, warning)
        .map(asDelivery),

    waitingDeliveries: (garden) =>
      db
        .prepare<[string], number>(`SELECT count(*) FROM deliveries WHERE state = 'waiting' AND garden = ?`)
        .pluck()
        .get(garden)!,

    dueDeliveries: (nowMs, limit) =>
      db
        .prepare<[number, number, number], Row>(
          `${DELIVERY} WHERE d.state = 'waiting' AND (d.due_ms <= ? OR EXISTS (
             SELECT 1 FROM deliveries o WHERE o.state = 'waiting' AND o.due_ms <= ? AND o.garden = d.garden
               AND o.warning = d.warning AND o.channel = d.channel AND o.target = d.target))
           ORDER BY d.id LIMIT ?`,
        )
        .all(nowMs, nowMs, limit)
        .map(asDelivery),

    sentMessages: (garden, channel, target, sinceMs) =>
      db
        .prepare<[string, string, string, number], number>(
          `SELECT count(DISTINCT message_id) FROM deliveries
           WHERE garden = ? AND channel = ? AND target = ? AND settled_at_ms >= ? AND state = 'sent'`,
        )
        .pluck()
        .get(garden, channel, target, sinceMs)!,

    beginDelivery: (ids, messageId) => {
      const begin = db.prepare(
        `UPDATE deliveries SET state = 'sending', attempts = attempts + 1, message_id = ?
         WHERE id = ? AND state = 'waiting'`,
      )
      for (const id of ids) begin.run(messageId, id)
    },

    settleDelivery: (ids, outcome) => {
      const settle = db.prepare(
        'UPDATE deliveries SET state = @state, trouble = @trouble, settled_at_ms = @atMs WHERE id = @id',
      )
      const wait = db.prepare(
        `UPDATE deliveries SET state = 'waiting', trouble = @trouble, due_ms = @dueMs WHERE id = @id`,
      )
      for (const id of ids) (outcome.state === 'waiting' ? wait : settle).run({ ...outcome, id })
    },

    recoverDeliveries: (trouble) =>
      db.prepare(`UPDATE deliveries SET state = 'waiting', trouble = ? WHERE state = 'sending'`).run(trouble)
        .changes,

    listDeliveries: (garden, limit) =>
      db
        .prepare<[string, number], Row>(`${DELIVERY} WHERE d.garden = ? ORDER BY d.id DESC LIMIT ?`)
        .all(garden, limit)
        .map(asDelivery),

    pruneDeliveries: (beforeMs) => {
      db.prepare(
        `DELETE FROM warning_news WHERE planned = 1 AND at_ms < ? AND NOT EXISTS (
           SELECT 1 FROM deliveries d WHERE d.news = warning_news.seq AND d.state IN ('waiting', 'sending'))`,
      ).run(beforeMs)
    },
  }
}
