/** The counter of delivery: settings, the outbox for reading, tests, and warnings in their export forms. */
import { randomUUID } from 'node:crypto'
import { DeliverySettings, type TestResult } from '../../shared/api/delivery.js'
import { isoWithOffset } from '../../shared/local-time.js'
import type { GardenRepository } from '../garden/port.js'
import { capAlert } from './cap-alert.js'
import { DeliveryError } from './delivery-error.js'
import type { Letter } from './letter.js'
import { letterHtml, letterText } from './letter-text.js'
import type { MailSender } from './mail-sender.js'
import type { DeliveryDesk } from './port.js'
import { warningFeed } from './warning-feed.js'
import type { WebhookSender } from './webhook-sender.js'

const FEED_ENTRIES = 100
/** so that a button pressed again and again does not become somebody's flood */
const BETWEEN_TESTS_MS = 10_000

export interface DeliveryDeskDeps {
  readonly garden: GardenRepository
  readonly mail: MailSender | null
  readonly webhook: WebhookSender
  readonly now: () => number
  /** the hub's address as people open it; null: not set */
  readonly pageUrl: string | null
  readonly isDemo: boolean
}

export function createDeliveryDesk(deps: DeliveryDeskDeps): DeliveryDesk {
  const { garden: repository, mail, webhook, now, pageUrl, isDemo } = deps
  const testedAtMs = new Map<string, number>()

  const stored = async (garden: string) =>
    (await repository.deliverySettings(garden)) ?? { ...DeliverySettings.parse({}), webhookSecret: null }

  const settings: DeliveryDesk['settings'] = async (garden) => {
    const { webhookSecret, ...shown } = await stored(garden)
    return { ...shown, hasWebhookSecret: webhookSecret !== null, canMail: mail !== null }
  }

  return {
    settings,

    async change(garden, { webhookSecret, ...changed }) {
      const before = await stored(garden)
      const secret = changed.webhookUrl === null ? null : (webhookSecret ?? before.webhookSecret)
      await repository.putDeliverySettings(garden, { ...changed, webhookSecret: secret })
      return settings(garden)
    },

    async outbox({ id, timeZone }, limit) {
      const entries = await repository.listDeliveries(id, limit)
      return entries.map((d) => {
        const isSettled = d.state === 'sent' || d.state === 'failed' || d.state === 'dropped'
        return {
          id: d.id,
          channel: d.channel,
          target: d.target,
          warning: d.warning.id,
          headline: d.warning.headline,
          event: d.event,
          at: isoWithOffset(d.atMs, timeZone),
          state: d.state,
          attempts: d.attempts,
          due: isSettled ? null : isoWithOffset(d.dueMs, timeZone),
          settledAt: d.settledAtMs === null ? null : isoWithOffset(d.settledAtMs, timeZone),
          trouble: d.trouble,
        }
      })
    },

    async test(garden, channel) {
      const { mailTo, webhookUrl, webhookSecret } = await stored(garden.id)
      const targets = channel === 'mail' ? mailTo : webhookUrl === null ? [] : [webhookUrl]
      const key = `${garden.id} ${channel}`
      const since = now() - (testedAtMs.get(key) ?? Number.NEGATIVE_INFINITY)
      if (since < BETWEEN_TESTS_MS) {
        const outcome = 'A test went out just now: wait ten seconds before the next.'
        return targets.map((target) => ({ target, isSent: false, outcome }))
      }
      testedAtMs.set(key, now())
      const attempt = (target: string): Promise<void> => {
        const id = `hearting-test-${randomUUID()}`
        if (channel === 'webhook') {
          const body = JSON.stringify({
            type: 'test',
            garden: { id: garden.id, name: garden.name },
            news: [],
          })
          return webhook.post({ url: target, secret: webhookSecret, id, body })
        }
        if (mail === null) throw new DeliveryError('UNREACHABLE', NO_MAIL_SERVER)
        const letter = testLetter(garden.name, pageUrl)
        return mail.send({
          to: target,
          subject: letter.subject,
          text: letterText(letter),
          html: letterHtml(letter),
          messageId: `<${id}@${mail.domain}>`,
          inReplyTo: null,
          isUrgent: false,
        })
      }
      return Promise.all(targets.map((target) => tried(target, channel, attempt)))
    },

    async capAlert(garden, id) {
      const warning = await repository.getWarning(garden.id, id)
      if (warning === null) return null
      const [{ uuid }, earlierMs, bed] = await Promise.all([
        repository.gardenUuid(garden.id),
        repository.warningNewsTimes(garden.id, id),
        warning.bed === null ? null : repository.getBed(garden.id, warning.bed),
      ])
      return capAlert({
        warning,
        garden,
        gardenUuid: uuid,
        bedName: bed?.name ?? null,
        earlierMs,
        isExercise: isDemo,
        pageUrl,
      })
    },

    async feed(garden, hubUrl) {
      const [{ uuid, madeAtMs }, warnings, beds] = await Promise.all([
        repository.gardenUuid(garden.id),
        repository.listWarnings(garden.id, FEED_ENTRIES),
        repository.listBeds(garden.id),
      ])
      return warningFeed({
        garden,
        gardenUuid: uuid,
        sinceMs: madeAtMs,
        warnings,
        bedNames: new Map(beds.map((bed) => [bed.id, bed.name])),
        hubUrl: pageUrl ?? hubUrl,
      })
    },
  }
}

export const NO_MAIL_SERVER =
  'The hub knows no mail server: set HEARTING_MAIL_URL and HEARTING_MAIL_FROM, then start it again.'

async function tried(
  target: string,
  channel: 'mail' | 'webhook',
  attempt: (target: string) => Promise<void>,
): Promise<TestResult> {
  try {
    await attempt(target)
    const outcome =
      channel === 'mail'
        ? 'The mail server took it. If it does not arrive, look among the unwanted mail.'
        : 'The receiver took it.'
    return { target, isSent: true, outcome }
  } catch (error) {
    if (error instanceof DeliveryError) return { target, isSent: false, outcome: error.message }
    throw error
  }
}

const testLetter = (gardenName: string, pageUrl: string | null): Letter => ({
  subject: `A test from ${gardenName}`.slice(0, 160),
  intro: 'This is a test: nothing is wrong. Warnings about the garden will come to this address.',
  items: [],
  foot: [`From hearting in the garden ${gardenName}.`, ...(pageUrl === null ? [] : [pageUrl])],
})
