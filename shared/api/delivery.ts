/** How a garden's warnings are sent out, on the wire: recipients, hours, and what became of each sending. */
import { z } from 'zod'
import { Instant } from './garden.js'
import { WarningKind } from './warnings.js'

/** most people who get mail about one garden */
const MOST_RECIPIENTS = 10
/** shorter secrets can be tried out */
const SHORTEST_SECRET = 16

const MailAddress = z
  .email('use a mail address, e.g. grower@example.org')
  .max(254, 'a mail address has at most 254 characters')

/** 'HH:MM' on the garden's clock */
const ClockTime = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'use a time of day, e.g. 22:00')

function isWebAddress(text: string): boolean {
  if (!URL.canParse(text)) return false
  const { protocol, username, password } = new URL(text)
  return (protocol === 'https:' || protocol === 'http:') && username === '' && password === ''
}

const WebhookUrl = z
  .string()
  .trim()
  .max(2_000, 'at most 2,000 characters')
  .refine(isWebAddress, 'use an address that starts with https:// or http://, without user and password')

export const DeliveryChannel = z.enum(['mail', 'webhook'])
export type DeliveryChannel = z.infer<typeof DeliveryChannel>

const settings = {
  mailTo: z
    .array(MailAddress)
    .max(MOST_RECIPIENTS, `at most ${MOST_RECIPIENTS} recipients`)
    .refine(
      (all) => new Set(all.map((a) => a.toLowerCase())).size === all.length,
      'an address is there twice',
    )
    .default([]),
  /** full hour on the garden's clock of the daily letter; null: what is not sent at once is not mailed */
  digestAtHour: z.int().min(0).max(23).nullable().default(7),
  /** from and to on the garden's clock; over midnight when `to` is not later; null: none */
  quietHours: z
    .strictObject({ from: ClockTime, to: ClockTime })
    .refine(({ from, to }) => from !== to, 'quiet hours end at another time than they begin')
    .nullable()
    .default(null),
  /** mailed at once whatever their severity; grave warnings of the other kinds are too */
  immediateKinds: z.array(WarningKind).default(['frost']),
  /** neither mailed nor posted; they are still on the page, in the feed and on MQTT */
  mutedKinds: z.array(WarningKind).default([]),
  webhookUrl: WebhookUrl.nullable().default(null),
}

export const DeliveryInput = z.strictObject({
  ...settings,
  /** signs what is posted; left out: the one there is stays. Never given out again */
  webhookSecret: z
    .string()
    .min(SHORTEST_SECRET, `use at least ${SHORTEST_SECRET} characters`)
    .max(200, 'at most 200 characters')
    .optional(),
})
export type DeliveryInput = z.infer<typeof DeliveryInput>

export const DeliverySettings = z.object(settings)
export type DeliverySettings = z.infer<typeof DeliverySettings>

export const Delivery = z.object({
  ...settings,
  hasWebhookSecret: z.boolean(),
  /** does the hub know a mail server? */
  canMail: z.boolean(),
})
export type Delivery = z.infer<typeof Delivery>

export const DeliveryState = z.enum(['waiting', 'sending', 'sent', 'failed', 'dropped'])
export type DeliveryState = z.infer<typeof DeliveryState>

export const OutboxEntry = z.object({
  id: z.int(),
  channel: DeliveryChannel,
  /** mail address, or address of the webhook */
  target: z.string(),
  warning: z.string(),
  headline: z.string(),
  event: z.enum(['raised', 'changed', 'cleared']),
  /** when the warning was raised, changed or cleared */
  at: Instant,
  state: DeliveryState,
  attempts: z.int(),
  /** when it is sent, or tried again; null: it is settled */
  due: Instant.nullable(),
  settledAt: Instant.nullable(),
  /** why the last attempt failed or nothing was sent, in plain words; null: nothing went wrong */
  trouble: z.string().nullable(),
})
export type OutboxEntry = z.infer<typeof OutboxEntry>

export const TestInput = z.strictObject({ channel: DeliveryChannel })
export const TestResult = z.object({
  target: z.string(),
  isSent: z.boolean(),
  /** what happened, in plain words */
  outcome: z.string(),
})
export type TestResult = z.infer<typeof TestResult>
