/** Warnings and live events on the wire. Severity, urgency and certainty are words of CAP 1.2 (OASIS). */
import { z } from 'zod'
import { Id } from '../ids.js'
import { Instant } from './garden.js'

export const WarningKind = z.enum([
  'warm-spell',
  'loose-heads',
  'heat-bolting',
  'cold-bolting',
  'frost',
  'short-sun',
  'cold-soil',
  'node-silent',
  'sensor-fault',
])
export type WarningKind = z.infer<typeof WarningKind>

export const Severity = z.enum(['Extreme', 'Severe', 'Moderate', 'Minor', 'Unknown'])
export const Urgency = z.enum(['Immediate', 'Expected', 'Future', 'Past', 'Unknown'])
export const Certainty = z.enum(['Observed', 'Likely', 'Possible', 'Unlikely', 'Unknown'])

export const Warning = z.object({
  id: z.string(),
  kind: WarningKind,
  bed: Id.nullable(),
  node: Id.nullable(),
  planting: z.string().nullable(),
  severity: Severity,
  urgency: Urgency,
  certainty: Certainty,
  /** one line: what */
  headline: z.string(),
  /** why, with the numbers */
  why: z.string(),
  /** what to do */
  advice: z.string(),
  raisedAt: Instant,
  updatedAt: Instant,
  clearedAt: Instant.nullable(),
  seenAt: Instant.nullable(),
  /** when what is warned of begins; null: it has, or no time can be told */
  onset: Instant.nullable(),
  /** until when what is said holds if nothing new is said; null: until it is cleared */
  expires: Instant.nullable(),
  /** how likely, 0 to 1; null: it was measured, or no chance can be told */
  chance: z.number().nullable(),
})
export type Warning = z.infer<typeof Warning>

/** Kinds that a planting's grower does not want to hear of. GET, PUT /plantings/{id}/mutes. */
export const Mutes = z.strictObject({ kinds: z.array(WarningKind).max(20) })
export type Mutes = z.infer<typeof Mutes>

/** Events of GET /live (server-sent events): the event's name is `type`, its data this object. */
export const LiveEvent = z.discriminatedUnion('type', [
  /** readings arrived for a bed: newest value of each quantity; ask for figures anew at most once a while */
  z.object({
    type: z.literal('readings'),
    node: Id,
    bed: Id.nullable(),
    values: z.array(z.object({ quantity: z.string(), time: z.number(), value: z.number(), flags: z.int() })),
  }),
  z.object({ type: z.literal('warning'), warning: Warning }),
  /** garden data changed: fetch it again */
  z.object({ type: z.literal('garden') }),
])
export type LiveEvent = z.infer<typeof LiveEvent>
