/**
 * Sends news of warnings out and keeps count of it. What is to be sent is in the database before it is sent and marked
 * after, so a stop at any moment loses nothing and repeats nothing, with one exception: where the answer of a receiver
 * was lost (or the hub died while waiting for it), nobody knows whether the message arrived. It is then sent again
 * under the same id, which mail programs and receivers can drop: a frost warning too many is better than one too few.
 */
import { createHash } from 'node:crypto'
import type { BaseLogger } from 'pino'
import type { DeliveryChannel } from '../../shared/api/delivery.js'
import type { Garden } from '../../shared/api/garden.js'
import type { Warning } from '../../shared/api/warnings.js'
import type { StoredDelivery, StoredDeliverySettings } from '../garden/delivery-port.js'
import type { GardenRepository, StoredWarning } from '../garden/port.js'
import { DeliveryError } from './delivery-error.js'
import { isGrave, planDelivery } from './delivery-plan.js'
import { type Dispatch, dispatchesOf } from './dispatch.js'
import { grouped } from './grouped.js'
import { letterOf } from './letter.js'
import { letterHtml, letterText } from './letter-text.js'
import type { MailSender } from './mail-sender.js'
import type { WebhookSender } from './webhook-sender.js'

const HOUR_MS = 3_600_000
/** Messages an hour to one target; what comes after waits and goes as one. Grave news may go up to twice that. */
export const MOST_PER_HOUR = 6
const LOOK_AGAIN_MS = 10 * 60_000
const FIRST_RETRY_MS = 60_000
const LONGEST_RETRY_MS = HOUR_MS
/** after this a warning is history */
const GIVE_UP_MS = 3 * 24 * HOUR_MS
const KEEP_MS = 90 * 24 * HOUR_MS
const NEWS_AT_ONCE = 200
const DELIVERIES_AT_ONCE = 500
/** Due times come round by themselves; news calls at once. */
const TICK_MS = 15_000
/** what one look at the garden raises belongs into one message */
const SETTLE_MS = 1_500
const CLOSE_MS = 3_000
const CUT_OFF = 'The hub was cut off while sending this; it is sent again under the same id.'

export interface OutboxDeps {
  readonly garden: GardenRepository
  /** null: no mail server is set */
  readonly mail: MailSender | null
  readonly webhook: WebhookSender
  readonly now: () => number
  readonly log: Pick<BaseLogger, 'warn' | 'error' | 'info'>
  readonly onWire: (warning: StoredWarning, timeZone: string) => Warning
  /** where people open the page; null: not known */
  readonly pageUrl: string | null
  /** told of each attempt: `sent`, or the code of what went wrong */
  readonly onTried?: (channel: DeliveryChannel, outcome: string) => void
  /** 0 to 1, for the scatter of retries */
  readonly random?: () => number
}

export interface Outbox {
  /** Plans what is new and sends what is due. Never rejects: failures are logged and in the outbox. */
  pump(): Promise<void>
  /** News was written: pumps within seconds. */
  newsArrived(): void
  /** Pumps at once, then by itself from time to time. */
  start(): void
  /** Waits a few seconds for what is under way; the rest goes out after the next start. */
  close(): Promise<void>
}

export function createOutbox(deps: OutboxDeps): Outbox {
  const { garden: repository, mail, webhook, now, log, random = Math.random } = deps
  let running: Promise<void> = Promise.resolve()
  let isClosed = false
  let soon: NodeJS.Timeout | null = null
  let tick: NodeJS.Timeout | null = null
  let prunedAtMs = Number.NEGATIVE_INFINITY

  const planNews = async (): Promise<void> => {
    for (;;) {
      const news = await repository.unplannedNews(NEWS_AT_ONCE)
      if (news.length === 0) return
      // one by one: what the first piece plans decides about the next of the same warning
      for (const piece of news) {
        const [garden, settings] = await Promise.all([
          repository.getGarden(piece.garden),
          repository.deliverySettings(piece.garden),
        ])
        const planned =
          garden === null || settings === null
            ? []
            : planDelivery(piece, {
                settings,
                canMail: mail !== null,
                timeZone: garden.timeZone,
                nowMs: now(),
                waiting: await repository.waitingDeliveries(piece.garden),
                isMutedForPlanting: await isMuted(piece.garden, piece.warning),
                earlier: await repository.deliveriesOf(piece.garden, piece.warning.id),
              })
        await repository.planDeliveries([piece.seq], planned)
      }
    }
  }

  const isMuted = async (garden: string, { planting, kind }: StoredWarning): Promise<boolean> =>
    planting !== null &&
    (await repository.listMutes(garden)).some((mute) => mute.planting === planting && mute.kind === kind)

  const sendDue = async (): Promise<void> => {
    const due = await repository.dueDeliveries(now(), DELIVERIES_AT_ONCE)
    for (const ofTarget of grouped(due, targetKey)) {
      if (isClosed) return
      await sendToTarget(ofTarget)
    }
  }

  const sendToTarget = async (due: readonly StoredDelivery[]): Promise<void> => {
    const { garden: id, channel, target } = due[0]!
    const [garden, settings] = await Promise.all([repository.getGarden(id), repository.deliverySettings(id)])
    if (garden === null || settings === null) return
    const nowMs = now()
    const wanted: StoredDelivery[] = []
    for (const delivery of due) {
      const reason = whyNotSent(delivery, settings, nowMs)
      if (reason === null) wanted.push(delivery)
      else await repository.settleDelivery([delivery.id], { ...reason, atMs: nowMs })
    }
    if (wanted.length === 0) return

    const sent = await repository.sentMessages(id, channel, target, nowMs - HOUR_MS)
    const most = wanted.some(({ warning }) => isGrave(warning)) ? 2 * MOST_PER_HOUR : MOST_PER_HOUR
    if (sent >= most) {
      await repository.settleDelivery(
        wanted.map((d) => d.id),
        {
          state: 'waiting',
          dueMs: nowMs + LOOK_AGAIN_MS,
          trouble: `Held back: ${sent} messages went there within an hour. What waits will go as one.`,
        },
      )
      return
    }
    const beds = await repository.listBeds(id)
    const bedNames = new Map(beds.map((bed) => [bed.id, bed.name]))
    for (const dispatch of dispatchesOf(wanted, bedNames, most - sent)) {
      if (isClosed || !(await send(dispatch, garden, settings))) return
    }
  }

  /** @returns false: it failed in a way that the next message to the same target would too */
  const send = async (
    dispatch: Dispatch,
    garden: Garden,
    settings: StoredDeliverySettings,
  ): Promise<boolean> => {
    const ids = dispatch.deliveries.map((d) => d.id)
    const { channel, target } = dispatch.deliveries[0]!
    const id = messageKey(dispatch.deliveries)
    const messageId = channel === 'mail' ? `<${id}@${mail?.domain ?? 'localhost'}>` : id
    await repository.beginDelivery(ids, messageId)
    try {
      if (channel === 'webhook') await post(dispatch, garden, settings, id)
      else await write(dispatch, garden, target, messageId)
    } catch (error) {
      if (error instanceof DeliveryError) {
        await failed(dispatch, error)
        return !error.retryable
      }
      log.error({ err: error, channel, garden: garden.id }, 'a message could not be made or sent')
      await failed(dispatch, new DeliveryError('UNREACHABLE', 'The hub failed at this; its log says more.'))
      return false
    }
    deps.onTried?.(channel, 'sent')
    await repository.settleDelivery(ids, { state: 'sent', atMs: now(), trouble: null })
    return true
  }

  const write = async (
    { form, stories, deliveries }: Dispatch,
    garden: Garden,
    to: string,
    messageId: string,
  ): Promise<void> => {
    if (mail === null) throw new DeliveryError('UNREACHABLE', 'The hub knows no mail server.')
    const { name: gardenName, timeZone } = garden
    const letter = letterOf({ form, stories, gardenName, timeZone, pageUrl: deps.pageUrl })
    await mail.send({
      to,
      subject: letter.subject,
      text: letterText(letter),
      html: letterHtml(letter),
      messageId,
      inReplyTo: form === 'own' ? await earlierMail(deliveries[0]!) : null,
      isUrgent: stories.some(({ warning }) => warning.clearedAtMs === null && isGrave(warning)),
    })
  }

  const earlierMail = async ({
    garden,
    warning,
    channel,
    target,
  }: StoredDelivery): Promise<string | null> => {
    const told = await repository.deliveriesOf(garden, warning.id)
    const sent = told.find((d) => d.state === 'sent' && d.channel === channel && d.target === target)
    return sent?.messageId ?? null
  }

  const post = (
    { stories, deliveries }: Dispatch,
    garden: Garden,
    { webhookSecret }: StoredDeliverySettings,
    id: string,
  ): Promise<void> =>
    webhook.post({
      url: deliveries[0]!.target,
      secret: webhookSecret,
      id,
      body: JSON.stringify({
        type: 'warnings',
        garden: { id: garden.id, name: garden.name },
        news: stories.map(({ warning, events }) => ({
          events: events.map(({ event }) => event),
          warning: deps.onWire(warning, garden.timeZone),
        })),
      }),
    })

  const failed = async ({ deliveries }: Dispatch, error: DeliveryError): Promise<void> => {
    const ids = deliveries.map((d) => d.id)
    const { channel, garden } = deliveries[0]!
    log.warn({ channel, garden, code: error.code }, error.message)
    deps.onTried?.(channel, error.code)
    if (!error.retryable) {
      await repository.settleDelivery(ids, { state: 'failed', atMs: now(), trouble: error.message })
      return
    }
    const attempts = 1 + Math.max(...deliveries.map((d) => d.attempts))
    const waitMs = error.retryAfterMs ?? retryWaitMs(attempts, random())
    await repository.settleDelivery(ids, {
      state: 'waiting',
      dueMs: now() + waitMs,
      trouble: error.message,
    })
  }

  const pump = (): Promise<void> => {
    const mine = running.then(async () => {
      if (isClosed) return
      try {
        // one pump at a time: what is still marked as being sent now was cut off, by a stop or by a failing disk
        const left = await repository.recoverDeliveries(CUT_OFF)
        if (left > 0) log.info({ deliveries: left }, CUT_OFF)
        await planNews()
        await sendDue()
        if (now() - prunedAtMs < HOUR_MS) return
        prunedAtMs = now()
        await repository.pruneDeliveries(now() - KEEP_MS)
      } catch (error) {
        log.error({ err: error }, 'warnings could not be sent out; they wait')
      }
    })
    running = mine
    return mine
  }

  return {
    pump,
    newsArrived() {
      if (isClosed || soon !== null) return
      soon = setTimeout(() => {
        soon = null
        void pump()
      }, SETTLE_MS)
      soon.unref()
    },
    start() {
      tick = setInterval(() => void pump(), TICK_MS)
      tick.unref()
      void pump()
    },
    async close() {
      isClosed = true
      if (soon !== null) clearTimeout(soon)
      if (tick !== null) clearInterval(tick)
      let late: NodeJS.Timeout | undefined
      const patience = new Promise<void>((resolve) => {
        late = setTimeout(resolve, CLOSE_MS)
      })
      await Promise.race([running, patience])
      clearTimeout(late)
    },
  }
}

const targetKey = ({ garden, channel, target }: StoredDelivery): string => `${garden} ${channel} ${target}`

/** Doubling from a minute to an hour, a quarter up or down so that many hubs do not call together. */
export function retryWaitMs(attempts: number, random: number): number {
  const waitMs = Math.min(LONGEST_RETRY_MS, FIRST_RETRY_MS * 2 ** (attempts - 1))
  return Math.round(waitMs * (0.75 + random / 2))
}

/** The same deliveries make the same id, however often they are tried. */
function messageKey(deliveries: readonly StoredDelivery[]): string {
  const what = deliveries.map((d) => `${d.warning.id} ${d.event} ${d.atMs}`).sort()
  const digest = createHash('sha256')
    .update([deliveries[0]!.target, ...what].join('\n'))
    .digest('hex')
  return `hearting-${digest.slice(0, 32)}`
}

function whyNotSent(
  { channel, target, warning, atMs, trouble }: StoredDelivery,
  settings: StoredDeliverySettings,
  nowMs: number,
): { readonly state: 'failed' | 'dropped'; readonly trouble: string } | null {
  const isWanted = channel === 'mail' ? settings.mailTo.includes(target) : settings.webhookUrl === target
  if (!isWanted) return { state: 'dropped', trouble: 'No longer among the recipients.' }
  if (settings.mutedKinds.includes(warning.kind)) {
    return { state: 'dropped', trouble: 'This kind of warning was muted meanwhile.' }
  }
  if (nowMs - atMs <= GIVE_UP_MS) return null
  return { state: 'failed', trouble: `Given up after three days. ${trouble ?? ''}`.trim() }
}
