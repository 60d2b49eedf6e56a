/** Delivery put together: what sends, what keeps count, and the counter where the API asks. */
import type { BaseLogger } from 'pino'
import type { GardenRepository } from '../garden/port.js'
import { createDeliveryDesk } from './delivery-desk.js'
import { createMailSender, type MailServer } from './mail-sender.js'
import { createOutbox, type Outbox, type OutboxDeps } from './outbox.js'
import type { DeliveryDesk } from './port.js'
import { createWebhookSender } from './webhook-sender.js'

export interface DeliveryOptions {
  readonly garden: GardenRepository
  /** null: warnings are not mailed */
  readonly mailServer: MailServer | null
  readonly now: () => number
  readonly log: Pick<BaseLogger, 'warn' | 'error' | 'info'>
  readonly onWire: OutboxDeps['onWire']
  readonly onTried?: NonNullable<OutboxDeps['onTried']>
  /** the page's address as people open it; null: not set */
  readonly pageUrl: string | null
  /** nothing in these gardens was measured */
  readonly isDemo: boolean
}

export function openDelivery(options: DeliveryOptions): {
  readonly desk: DeliveryDesk
  readonly outbox: Outbox
} {
  const { mailServer, ...rest } = options
  const mail = mailServer === null ? null : createMailSender(mailServer)
  const parts = { ...rest, mail, webhook: createWebhookSender({ now: options.now }) }
  return { desk: createDeliveryDesk(parts), outbox: createOutbox(parts) }
}
