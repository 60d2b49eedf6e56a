/** An outbox on a real garden database, with a clock that stands still until it is moved. */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import pino from 'pino'
import { warningOnWire } from '../../hub/api/figures.js'
import { createMailSender, type MailSender } from '../../hub/delivery/mail-sender.js'
import { createOutbox, type Outbox } from '../../hub/delivery/outbox.js'
import { createWebhookSender, type WebhookSender } from '../../hub/delivery/webhook-sender.js'
import type { GardenRepository, StoredWarning } from '../../hub/garden/port.js'
import { openSqliteGarden } from '../../hub/garden/sqlite-garden.js'
import type { DeliveryInput, DeliverySettings } from '../../shared/api/delivery.js'
import { DeliverySettings as Settings } from '../../shared/api/delivery.js'
import { FROST, GARDEN, RAISED_MS } from './made-up-warnings.js'
import { TEST_CA } from './smtp-fixture.js'

export interface OutboxFixture {
  readonly garden: GardenRepository
  readonly outbox: Outbox
  readonly clock: { nowMs: number }
  set(settings: Partial<DeliveryInput>): Promise<void>
  /** a warning as the keeper raises, changes or clears it now */
  save(change?: Partial<StoredWarning>): Promise<StoredWarning>
  /** as after a kill: another outbox on the same folder, the first never closed */
  restart(mail?: MailSender | null): Promise<Outbox>
  close(): Promise<void>
}

export const mailTo = (port: number, answerMs = 5_000): MailSender =>
  createMailSender({ url: `smtp://127.0.0.1:${port}`, from: 'hub@example.org', ca: TEST_CA, answerMs })

export async function openOutbox(parts: {
  readonly mail?: MailSender | null
  readonly webhook?: WebhookSender
}): Promise<OutboxFixture> {
  const dataDir = await mkdtemp(join(tmpdir(), 'hearting-outbox-'))
  const garden = await openSqliteGarden({ dataDir })
  const { id: _id, ...place } = GARDEN
  await garden.putGarden('home', place)
  await garden.putBed('home', 'quince', {
    name: 'Under the quince',
    kind: 'raised',
    lengthM: 2,
    widthM: 1,
    depthM: null,
  })
  const clock = { nowMs: RAISED_MS }
  const now = (): number => clock.nowMs
  const make = (mail: MailSender | null): Outbox =>
    createOutbox({
      garden,
      mail,
      webhook: parts.webhook ?? createWebhookSender({ now }),
      now,
      log: pino({ level: process.env.HEARTING_LOG_LEVEL ?? 'silent' }),
      onWire: warningOnWire,
      pageUrl: 'https://garden.example',
      random: () => 0.5,
    })
  const outbox = make(parts.mail ?? null)
  return {
    garden,
    outbox,
    clock,
    async set({ webhookSecret, ...settings }) {
      const all: DeliverySettings = Settings.parse(settings)
      await garden.putDeliverySettings('home', { ...all, webhookSecret: webhookSecret ?? null })
    },
    async save(change = {}) {
      const warning = { ...FROST, raisedAtMs: clock.nowMs, updatedAtMs: clock.nowMs, ...change }
      await garden.saveWarning('home', { ...warning, cause: `${warning.kind}/${warning.id}` })
      return warning
    },
    restart: async (mail = parts.mail ?? null) => make(mail),
    async close() {
      await outbox.close()
      await garden.close()
      await rm(dataDir, { recursive: true, force: true })
    },
  }
}
