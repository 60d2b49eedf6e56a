/** Reply schemas that routes share. */
import { z } from 'zod'
import { Problem } from '../../shared/api/garden.js'

/** A reply of problem details, described under its own media type (RFC 9457 §3). */
const problem = (description: string) => ({
  description,
  content: { 'application/problem+json': { schema: Problem } },
})

/** Problems that any address under a garden can answer with. */
export const COMMON_PROBLEMS = {
  400: problem('the request cannot be used; `problems` names the fields'),
  401: problem('nobody that the hub knows'),
  404: problem('no such thing'),
  500: problem('the hub failed'),
  503: problem('the hub cannot reach its data right now'),
} as const

/** … and those that change something. */
export const CHANGE_PROBLEMS = {
  ...COMMON_PROBLEMS,
  403: problem('not allowed: a page of another site, or a visitor who may only look'),
  409: problem('against a rule between things'),
  413: problem('too large'),
  415: problem('not of the type that is taken'),
} as const

/** … of what was there and is no more. */
export const TAKEN_BACK = { 410: problem('taken back, and stays so') } as const

/** … and those that try a secret. */
export const DOOR_PROBLEMS = {
  ...CHANGE_PROBLEMS,
  429: problem('too many wrong attempts; Retry-After says how long to wait'),
} as const

export const NoContent = z.null().describe('done; nothing to say')
