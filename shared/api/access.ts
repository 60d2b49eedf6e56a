/** Signing in, sessions, read-only links and the credentials of nodes, on the wire. */
import { z } from 'zod'
import { Id } from '../ids.js'
import { Instant } from './garden.js'

/** longest is checked here already: nobody makes the hub hash a novel */
const Passphrase = z.string().min(1, 'type the passphrase').max(200, 'at most 200 characters')
/** what the hub gave out itself */
const GivenSecret = z.string().min(1, 'type the code').max(100, 'at most 100 characters')

/** What the page must show first: `open` no sign-in at all, `set-up` no owner yet, `closed` sign in. */
export const Access = z.object({
  door: z.enum(['open', 'set-up', 'closed']),
  /** who asks; null: nobody that the hub knows */
  visitor: z.enum(['owner', 'reader', 'script']).nullable(),
})
export type Access = z.infer<typeof Access>

export const SetUpInput = z.strictObject({ code: GivenSecret, passphrase: Passphrase })
export const SignInInput = z.strictObject({ passphrase: Passphrase })
export const LinkEntryInput = z.strictObject({ secret: GivenSecret })
export const PassphraseInput = z.strictObject({ passphrase: Passphrase, newPassphrase: Passphrase })

export const Session = z.object({
  id: z.string(),
  /** the session that asks */
  isThis: z.boolean(),
  /** name of the read-only link it came by; null: the owner's own */
  link: z.string().nullable(),
  /** what the browser said of itself */
  device: z.string(),
  signedInAt: Instant,
  lastSeenAt: Instant,
  endsAt: Instant,
})
export type Session = z.infer<typeof Session>

export const LinkInput = z.strictObject({
  name: z.string().trim().min(1, 'say who it is for').max(80, 'at most 80 characters'),
  days: z.int('a whole number of days').min(1, 'at least a day').max(366, 'at most 366 days'),
})
export const Link = z.object({ id: z.string(), name: z.string(), madeAt: Instant, endsAt: Instant })
/** `secret` is told this once; the address is the page's own: /look#secret */
export const NewLink = z.object({ ...Link.shape, secret: z.string() })
export type Link = z.infer<typeof Link>
export type NewLink = z.infer<typeof NewLink>

export const NodeCredential = z.object({ node: Id, madeAt: Instant })
export type NodeCredential = z.infer<typeof NodeCredential>
/** What is typed into the node; `password` is told this once. */
export const NewNodeCredential = z.object({
  node: Id,
  username: z.string(),
  password: z.string(),
  mqttPort: z.int(),
  isTls: z.boolean(),
  /** can other machines reach the broker? */
  isReachable: z.boolean(),
  readingsTopic: z.string(),
  presenceTopic: z.string(),
  settingsTopic: z.string(),
})
export type NewNodeCredential = z.infer<typeof NewNodeCredential>

/** How a node reaches its broker, and whether somebody has tried in vain. Holds no secret. */
export const NodeConnection = z.object({
  node: Id,
  /** null: at the hub's own address, by the name that the reader knows it by */
  host: z.string().nullable(),
  mqttPort: z.int(),
  isTls: z.boolean(),
  /** can other machines reach the broker? */
  isReachable: z.boolean(),
  readingsTopic: z.string(),
  /** `none` let in without; `own` made by the hub; `elsewhere` given out by another broker */
  password: z.enum(['none', 'own', 'elsewhere']),
  /** when its password was made; null: it has none of the hub's */
  passwordMadeAt: Instant.nullable(),
  /** attempts with a password that is not its present one, since the hub started */
  wrongPasswords: z.object({ total: z.int(), latestAt: Instant }).nullable(),
  /** the latest attempt under a user name that no node has */
  unknownUser: z.object({ username: z.string(), latestAt: Instant }).nullable(),
})
export type NodeConnection = z.infer<typeof NodeConnection>
