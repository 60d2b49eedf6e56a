/** What the rest of the hub hears from ingest. */
import type { Reading } from '../store/port.js'

/** Readings that have just become durable. */
export interface StoredReadings {
  readonly readings: readonly Reading[]
  readonly receivedAtMs: number
}

/** A pack that was turned away, whole. */
export interface Refusal {
  readonly garden: string
  /** null where the topic did not even name one */
  readonly node: string | null
  readonly reason: RefusalReason
  /** says what is wrong, in words a node's builder understands */
  readonly message: string
  readonly atMs: number
  /** first bytes, printable, at most 120 characters */
  readonly excerpt: string
}

export type RefusalReason =
  | 'too-large'
  | 'not-json'
  | 'not-cbor'
  | 'not-senml'
  | 'unit'
  | 'time'
  | 'topic'
  | 'too-many-records'
  | 'presence'
  | 'forecast'

export type Presence = 'awake' | 'asleep' | 'gone'
