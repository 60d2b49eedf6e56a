/** What the hub knows about sending warnings out, and how the forms' texts become settings. */
import type { Delivery, DeliveryInput, OutboxEntry } from '../../../shared/api/delivery.js'
import type { WarningKind } from '../../../shared/api/warnings.js'
import { KIND_WORDS } from '../../../shared/warning-kind-words.js'
import { ApiFailure, call, get } from '../api/client.js'
import { FieldProblem, optionalTextIn, textIn, type Values } from '../garden/use-form.js'
import { inGarden } from '../state/garden.js'
import { resource } from '../state/resource.js'

const LATEST = 30

export const delivery = resource<Delivery>((signal) => get(inGarden('/delivery'), signal))
export const outbox = resource<OutboxEntry[]>((signal) =>
  get(inGarden(`/delivery/outbox?limit=${LATEST}`), signal),
)

/** How news of a kind is mailed. */
export type MailWay = 'at-once' | 'letter' | 'never'

const kindField = (kind: WarningKind): string => `kind.${kind}`
/** the names only: the schema itself would bring all of zod into the page */
const KINDS = Object.keys(KIND_WORDS) as WarningKind[]
export const KIND_FIELDS = KINDS.map((kind) => ({ kind, field: kindField(kind) }))

const NO_LETTER = 'none'

export function mailValues(known: Delivery): Record<string, string> {
  const way = (kind: WarningKind): MailWay => {
    if (known.mutedKinds.includes(kind)) return 'never'
    return known.immediateKinds.includes(kind) ? 'at-once' : 'letter'
  }
  return {
    mailTo: known.mailTo.join(', '),
    digestAtHour: known.digestAtHour === null ? NO_LETTER : String(known.digestAtHour),
    quietFrom: known.quietHours?.from ?? '',
    quietTo: known.quietHours?.to ?? '',
    ...Object.fromEntries(KIND_FIELDS.map(({ kind, field }) => [field, way(kind)])),
  }
}

export function mailSettings(values: Values): Partial<DeliveryInput> {
  const kindsOf = (way: MailWay): WarningKind[] =>
    KIND_FIELDS.filter(({ field }) => values[field] === way).map(({ kind }) => kind)
  return {
    mailTo: textIn(values, 'mailTo')
      .split(/[,;\s]+/)
      .filter((address) => address !== ''),
    digestAtHour: values.digestAtHour === NO_LETTER ? null : Number(values.digestAtHour),
    quietHours: quietHoursIn(values),
    immediateKinds: kindsOf('at-once'),
    mutedKinds: kindsOf('never'),
  }
}

function quietHoursIn(values: Values): DeliveryInput['quietHours'] {
  const from = optionalTextIn(values, 'quietFrom')
  const to = optionalTextIn(values, 'quietTo')
  if (from === null && to === null) return null
  return { from: clockIn(from, 'quietFrom'), to: clockIn(to, 'quietTo') }
}

/** '22', '6:30', '22.00' as people write times of day */
function clockIn(text: string | null, field: string): string {
  const match = /^(\d{1,2})(?:[:.](\d{2}))?$/.exec(text ?? '')
  const [hour, minute] = [Number(match?.[1]), Number(match?.[2] ?? 0)]
  if (match === null || hour > 23 || minute > 59) throw new FieldProblem(field, 'write a time, e.g. 22:00')
  return `${String(hour).padStart(2, '0')}:${String(minute).padStart(2, '0')}`
}

export const HOURS = [
  { value: NO_LETTER, label: 'no daily letter' },
  ...Array.from({ length: 24 }, (_, hour) => ({ value: String(hour), label: `at ${hour}:00` })),
]

/** Sends changed settings with all that stay as they are. */
export async function saveDelivery(known: Delivery, changed: Partial<DeliveryInput>): Promise<void> {
  const { hasWebhookSecret: _has, canMail: _can, ...settings } = known
  try {
    await call('PUT', inGarden('/delivery'), { ...settings, ...changed })
  } catch (error) {
    throw atFormField(error)
  }
  await Promise.all([delivery.reload(), outbox.reload()])
}

const FORM_FIELDS: Readonly<Record<string, string>> = {
  quietHours: 'quietTo',
  'quietHours.from': 'quietFrom',
}

/** The hub names the entry of a list (`mailTo.1`); the form has one field for the list. */
function atFormField(error: unknown): unknown {
  const [first] = error instanceof ApiFailure ? (error.problem?.problems ?? []) : []
  if (first === undefined) return error
  return new FieldProblem(FORM_FIELDS[first.field] ?? first.field.split('.')[0] ?? first.field, first.message)
}
