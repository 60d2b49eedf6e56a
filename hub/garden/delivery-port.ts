/**
 * What the hub keeps about sending warnings out. Lies in the garden's database, so that a warning and the news of it
 * are written in one transaction: neither a crash nor a restart loses news or repeats it. Part of port.ts.
 */
import type { DeliveryChannel, DeliverySettings, DeliveryState } from '../../shared/api/delivery.js'
import type { StoredWarning } from './port.js'

export interface StoredDeliverySettings extends DeliverySettings {
  readonly webhookSecret: string | null
}

export type WarningEvent = 'raised' | 'changed' | 'cleared'

/** What became of a warning; a change is news when severity, urgency or certainty changed. */
export interface WarningNews {
  readonly seq: number
  readonly garden: string
  readonly event: WarningEvent
  readonly atMs: number
  /** as it was then */
  readonly warning: StoredWarning
}

/** One piece of news on its way to one recipient. (garden, channel, target, news) is unique. */
export interface StoredDelivery {
  readonly id: number
  readonly garden: string
  readonly channel: DeliveryChannel
  readonly target: string
  readonly event: WarningEvent
  readonly atMs: number
  readonly warning: StoredWarning
  /** own: a message by itself; digest: part of the daily letter */
  readonly form: 'own' | 'digest'
  readonly state: DeliveryState
  /** not sent before */
  readonly dueMs: number
  readonly attempts: number
  /** of the message it last went out in */
  readonly messageId: string | null
  readonly trouble: string | null
  readonly settledAtMs: number | null
}

export interface NewDelivery {
  readonly seq: number
  readonly channel: DeliveryChannel
  readonly target: string
  readonly form: 'own' | 'digest'
  readonly dueMs: number
  /** dropped at once, with the reason, where the outbox is full */
  readonly dropped: string | null
}

/** What became of an attempt, for all deliveries of one message. */
export type Outcome =
  | { readonly state: 'sent' | 'failed' | 'dropped'; readonly atMs: number; readonly trouble: string | null }
  | { readonly state: 'waiting'; readonly dueMs: number; readonly trouble: string | null }

/** Every method is durable when it resolves. */
export interface DeliveryRepository {
  /** null: never set */
  deliverySettings(garden: string): Promise<StoredDeliverySettings | null>
  /** @throws GardenError  UNKNOWN_GARDEN */
  putDeliverySettings(garden: string, settings: StoredDeliverySettings): Promise<void>
  /** The garden's own name in feeds and alerts: a UUID made when first asked for. */
  gardenUuid(garden: string): Promise<{ readonly uuid: string; readonly madeAtMs: number }>

  getWarning(garden: string, id: string): Promise<StoredWarning | null>
  /** times at which a warning was raised or changed in gravity, ascending */
  warningNewsTimes(garden: string, warning: string): Promise<number[]>
  /** the oldest news that nobody has decided about */
  unplannedNews(limit: number): Promise<WarningNews[]>
  /** Marks news as decided and records its deliveries, in one transaction. */
  planDeliveries(seqs: readonly number[], deliveries: readonly NewDelivery[]): Promise<void>
  /** The deliveries of one warning to each target so far, newest first. */
  deliveriesOf(garden: string, warning: string): Promise<StoredDelivery[]>
  /** how many wait in this garden */
  waitingDeliveries(garden: string): Promise<number>

  /** those that wait and are due, oldest first, and all that wait for the same targets and warnings */
  dueDeliveries(nowMs: number, limit: number): Promise<StoredDelivery[]>
  /** when messages went out to a target since a moment; for the limit of messages an hour */
  sentMessages(garden: string, channel: DeliveryChannel, target: string, sinceMs: number): Promise<number>
  /** Before a message is handed over: its deliveries are marked as being sent. */
  beginDelivery(ids: readonly number[], messageId: string): Promise<void>
  settleDelivery(ids: readonly number[], outcome: Outcome): Promise<void>
  /** After a crash: what was being sent waits again; its outcome is not known. @returns how many */
  recoverDeliveries(trouble: string): Promise<number>
  /** newest first */
  listDeliveries(garden: string, limit: number): Promise<StoredDelivery[]>
  /** Forgets what was settled, and news that was decided, before a moment. */
  pruneDeliveries(beforeMs: number): Promise<void>
}
