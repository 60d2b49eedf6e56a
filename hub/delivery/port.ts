/**
 * What the API asks of delivery. This folder sends warnings to people and programs outside: as mail, as a post to an
 * address of the owner's choice, as CAP alerts and a feed. It may import core, shared, and port files.
 */
import type {
  Delivery,
  DeliveryChannel,
  DeliveryInput,
  OutboxEntry,
  TestResult,
} from '../../shared/api/delivery.js'
import type { Garden } from '../../shared/api/garden.js'

export interface DeliveryDesk {
  settings(garden: string): Promise<Delivery>
  /** @throws GardenError  UNKNOWN_GARDEN */
  change(garden: string, input: DeliveryInput): Promise<Delivery>
  /** what was, is and will be sent, newest first */
  outbox(garden: Garden, limit: number): Promise<OutboxEntry[]>
  /** Sends a test to all targets of a channel, now, and says what became of it. */
  test(garden: Garden, channel: DeliveryChannel): Promise<TestResult[]>
  /** CAP 1.2 XML; null: no such warning */
  capAlert(garden: Garden, warning: string): Promise<string | null>
  /** Atom; links lead to the hub's own address, or where it is not set to the one given */
  feed(garden: Garden, hubUrl: string): Promise<string>
}
