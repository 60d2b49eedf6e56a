/** Whom to tell about news of a warning, by which way, and when. Pure. */
import type { DeliveryChannel, DeliverySettings } from '../../shared/api/delivery.js'
import type { NewDelivery, StoredDelivery, WarningNews } from '../garden/delivery-port.js'
import type { StoredWarning } from '../garden/port.js'
import { nextHourMs, quietEndMs } from './quiet-hours.js'

/** Beyond this nothing new is put in a garden's outbox: whoever comes back after weeks wants no thousand letters. */
export const MOST_WAITING = 1_000

/** What may wake somebody up: quiet hours do not hold it, and it is never left for the daily letter. */
export const isGrave = ({ severity, urgency }: Pick<StoredWarning, 'severity' | 'urgency'>): boolean =>
  severity === 'Extreme' || (severity === 'Severe' && urgency === 'Immediate')

export interface PlanContext {
  readonly settings: DeliverySettings
  readonly canMail: boolean
  readonly timeZone: string
  readonly nowMs: number
  /** how many wait in this garden already */
  readonly waiting: number
  /** has the grower muted this kind for this planting? */
  readonly isMutedForPlanting: boolean
  /** earlier deliveries of the same warning */
  readonly earlier: readonly StoredDelivery[]
}

export function planDelivery(news: WarningNews, context: PlanContext): NewDelivery[] {
  const { settings } = context
  if (context.isMutedForPlanting || settings.mutedKinds.includes(news.warning.kind)) return []
  const planned: NewDelivery[] = []
  for (const target of settings.mailTo) planned.push(...planTarget(news, context, 'mail', target))
  if (settings.webhookUrl !== null) {
    planned.push(...planTarget(news, context, 'webhook', settings.webhookUrl))
  }
  return planned
}

function planTarget(
  news: WarningNews,
  context: PlanContext,
  channel: DeliveryChannel,
  target: string,
): NewDelivery[] {
  const told = context.earlier.filter(
    (d) => d.channel === channel && d.target === target && d.state !== 'dropped' && d.state !== 'failed',
  )
  // the end of something nobody was told of is no news
  if (news.event === 'cleared' && told.length === 0) return []
  const isUrgent = news.event !== 'cleared' && isGrave(news.warning)
  const form = channel === 'webhook' ? 'own' : formOfMail(news, context, told)
  const { settings, nowMs, timeZone } = context
  if (form === 'digest' && settings.digestAtHour === null) return []

  const earliestMs = form === 'digest' ? nextHourMs(nowMs, settings.digestAtHour ?? 0, timeZone) : nowMs
  const dueMs = isUrgent ? nowMs : quietEndMs(earliestMs, settings.quietHours, timeZone)
  return [{ seq: news.seq, channel, target, form, dueMs, dropped: whyDropped(channel, isUrgent, context) }]
}

function formOfMail(
  { event, warning }: WarningNews,
  { settings }: PlanContext,
  told: readonly StoredDelivery[],
): 'own' | 'digest' {
  // who was told of the beginning by a mail of its own hears of the end the same way
  if (event === 'cleared') return told.some((d) => d.form === 'own') ? 'own' : 'digest'
  return isGrave(warning) || settings.immediateKinds.includes(warning.kind) ? 'own' : 'digest'
}

function whyDropped(channel: DeliveryChannel, isUrgent: boolean, context: PlanContext): string | null {
  if (channel === 'mail' && !context.canMail) {
    return 'The hub knows no mail server: set HEARTING_MAIL_URL and HEARTING_MAIL_FROM.'
  }
  return context.waiting >= MOST_WAITING && !isUrgent ? 'Too much was waiting to be sent already.' : null
}
