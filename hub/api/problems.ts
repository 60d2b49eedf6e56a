/**
 * Everything that can go wrong, as RFC 9457 problem details. Each code has one entry here; the entry is served
 * at the problem's `type` address, so that whoever meets a code can read what it means and what to do.
 */
import type { Problem } from '../../shared/api/garden.js'

interface ProblemInfo {
  readonly status: number
  readonly title: string
  readonly remedy: string
}

export const PROBLEMS = {
  INVALID_INPUT: {
    status: 400,
    title: 'Something in the request cannot be used',
    remedy: 'Correct the fields that `problems` names.',
  },
  BAD_REQUEST: {
    status: 400,
    title: 'The request cannot be read',
    remedy: 'Send well-formed HTTP with a JSON body (Content-Type: application/json).',
  },
  SIGN_IN_FIRST: {
    status: 401,
    title: 'The hub does not know you',
    remedy: 'Sign in on the page, or send an API token as `Authorization: Bearer` (hearting token add).',
  },
  SET_UP_FIRST: {
    status: 401,
    title: 'This hub has no owner yet',
    remedy: 'Open the page and choose a passphrase, with the code that the hub shows on its console.',
  },
  WRONG_PASSPHRASE: {
    status: 403,
    title: 'That is not the passphrase',
    remedy: 'Try again. Forgotten? `hearting owner reset` on the hub’s own machine lets you choose another.',
  },
  WRONG_CODE: {
    status: 403,
    title: 'That is not the set-up code',
    remedy: 'Take the newest code that the hub shows on its console; each is good for an hour.',
  },
  WRONG_LINK: {
    status: 403,
    title: 'This link does not open anything',
    remedy: 'It has run out or was taken back: ask the owner for another.',
  },
  READ_ONLY: {
    status: 403,
    title: 'You may look, not change',
    remedy: 'Sign in as the owner, or use a token of the scope `write`.',
  },
  OWNER_ONLY: {
    status: 403,
    title: 'This is for the owner of the hub',
    remedy: 'Sign in with the passphrase.',
  },
  FOREIGN_ORIGIN: {
    status: 403,
    title: 'Changes from pages of other sites are not taken',
    remedy: 'Use the page that the hub itself serves.',
  },
  NOT_FOUND: {
    status: 404,
    title: 'There is nothing at this address',
    remedy: 'See /api/v1/openapi.json for what there is.',
  },
  UNKNOWN_GARDEN: {
    status: 404,
    title: 'This garden has not been set up',
    remedy: 'PUT /api/v1/gardens/{garden} with its name, place and time zone.',
  },
  UNKNOWN_BED: {
    status: 404,
    title: 'There is no such bed',
    remedy: 'See GET /api/v1/gardens/{garden}/beds; PUT …/beds/{bed} makes one.',
  },
  UNKNOWN_NODE: {
    status: 404,
    title: 'There is no such node',
    remedy: 'See GET /api/v1/gardens/{garden}/nodes; a node appears once it has published or been named.',
  },
  UNKNOWN_PLACEMENT: {
    status: 404,
    title: 'There is no such placement',
    remedy: 'See GET /api/v1/gardens/{garden}/placements.',
  },
  UNKNOWN_PLANTING: {
    status: 404,
    title: 'There is no such planting',
    remedy: 'See GET /api/v1/gardens/{garden}/plantings.',
  },
  UNKNOWN_ENTRY: {
    status: 404,
    title: 'There is no such entry in the journal',
    remedy: 'See GET /api/v1/gardens/{garden}/journal.',
  },
  UNKNOWN_PHOTO: {
    status: 404,
    title: 'The entry has no such photo',
    remedy: 'See its photos with GET /api/v1/gardens/{garden}/journal/{id}.',
  },
  UNKNOWN_TASK: {
    status: 404,
    title: 'There is no such task',
    remedy: 'See GET /api/v1/gardens/{garden}/tasks; what is done, or not called for any more, is not there.',
  },
  UNKNOWN_WARNING: {
    status: 404,
    title: 'There is no such warning',
    remedy: 'See GET /api/v1/gardens/{garden}/warnings.',
  },
  UNKNOWN_SESSION: {
    status: 404,
    title: 'There is no such session',
    remedy: 'See GET /api/v1/access/sessions; it may have ended by itself.',
  },
  UNKNOWN_LINK: {
    status: 404,
    title: 'There is no such link',
    remedy: 'See GET /api/v1/access/links; it may have run out.',
  },
  UNKNOWN_CREDENTIAL: {
    status: 404,
    title: 'This node has no credential',
    remedy: 'See GET /api/v1/gardens/{garden}/node-credentials.',
  },
  METHOD_NOT_ALLOWED: {
    status: 405,
    title: 'This address does not take that method',
    remedy: 'Use one of the methods in the Allow header.',
  },
  OVERLAP: {
    status: 409,
    title: 'A node cannot stand in two places at once',
    remedy: 'End the earlier placement before the later one starts.',
  },
  STILL_USED: {
    status: 409,
    title: 'Other things still refer to this',
    remedy: 'Delete or change those first.',
  },
  ID_TAKEN: {
    status: 409,
    title: 'This id is taken already, by something else',
    remedy: 'See what it holds with GET; change that with PUT, or send the new one with an id of its own.',
  },
  TOO_MANY_PHOTOS: {
    status: 409,
    title: 'This entry has as many photos as it can have',
    remedy: 'Delete one of them first, or put the photo to another entry.',
  },
  ALREADY_SET_UP: {
    status: 409,
    title: 'This hub has an owner already',
    remedy: 'Sign in. If that owner is not you: `hearting owner reset` on the hub’s own machine.',
  },
  DOORS_OPEN: {
    status: 409,
    title: 'This hub is open to everyone on its machine',
    remedy: 'There is nothing to sign in to in a demo; a real garden is run by `hearting serve`.',
  },
  BROKER_ELSEWHERE: {
    status: 409,
    title: 'Nodes sign in at another broker',
    remedy: 'Give the node its credential there: this hub only listens to that broker.',
  },
  TOO_MANY_SECRETS: {
    status: 409,
    title: 'There are too many of these already',
    remedy: 'Take back those that nobody needs.',
  },
  TAKEN_BACK: {
    status: 410,
    title: 'This entry was taken back',
    remedy:
      'Nothing is to be done. Taken back by mistake? Write it again, as a new entry with an id of its own.',
  },
  BODY_TOO_LARGE: {
    status: 413,
    title: 'The request is too large',
    remedy: 'Send less at once: 64 KiB, or what the address says that it takes (see /api/v1/openapi.json).',
  },
  PHOTO_TOO_LARGE: {
    status: 413,
    title: 'The photo is too large',
    remedy: 'Send at most 4 MiB: make it smaller first. 1600 points across are plenty.',
  },
  NOT_A_TABLE: {
    status: 415,
    title: 'This is not a table of readings',
    remedy: 'Send CSV as text/csv, in UTF-8: a header with a column `time`, then the rows.',
  },
  UNSUPPORTED_MEDIA_TYPE: {
    status: 415,
    title: 'Only JSON is understood',
    remedy: 'Send Content-Type: application/json.',
  },
  NOT_A_PHOTO: {
    status: 415,
    title: 'This is not a photo that the journal keeps',
    remedy: 'Send a JPEG, PNG or WebP image, with its own Content-Type.',
  },
  UNKNOWN_HOST: {
    status: 421,
    title: 'The hub answers on this machine only',
    remedy: 'Open it as http://localhost, or set HEARTING_HTTP_HOST to open it to your network.',
  },
  TOO_MANY_ATTEMPTS: {
    status: 429,
    title: 'Too many wrong attempts',
    remedy: 'Wait as long as Retry-After says. Who is signed in already stays so.',
  },
  INTERNAL: {
    status: 500,
    title: 'The hub failed at this',
    remedy: 'The hub log says why. If it happens again, report it with that part of the log.',
  },
  UNAVAILABLE: {
    status: 503,
    title: 'The hub cannot reach its data right now',
    remedy: 'Try again shortly; if it lasts, look at /readyz and the hub log (a full or failing disk?).',
  },
  TOO_MANY_STREAMS: {
    status: 503,
    title: 'Too many pages follow this hub live',
    remedy: 'Close some, or raise HEARTING_MAX_LIVE_STREAMS.',
  },
} as const satisfies Record<string, ProblemInfo>

export type ProblemCode = keyof typeof PROBLEMS

export interface FieldProblem {
  readonly field: string
  readonly message: string
}

/** Thrown by routes; the error handler turns it into a reply. `detail` is shown to people. */
export class ApiProblem extends Error {
  constructor(
    readonly code: ProblemCode,
    readonly detail: string,
    readonly problems: readonly FieldProblem[] = [],
  ) {
    super(detail)
    this.name = 'ApiProblem'
  }

  get status(): number {
    return PROBLEMS[this.code].status
  }
}

/** Wrong input, field by field. */
export const invalidInput = (problems: readonly FieldProblem[]): ApiProblem =>
  new ApiProblem('INVALID_INPUT', problems.map((p) => `${p.field}: ${p.message}`).join('; '), problems)

/** UNKNOWN_BED → unknown-bed */
export const problemSlug = (code: ProblemCode): string => code.toLowerCase().replaceAll('_', '-')

/** The body of a problem reply (RFC 9457 §3.1; `code` and `problems` are our extension members). */
export function problemBody(
  code: ProblemCode,
  detail: string,
  problems: readonly FieldProblem[] = [],
): Problem {
  const { status, title } = PROBLEMS[code]
  return {
    type: `/api/v1/problems/${problemSlug(code)}`,
    title,
    status,
    detail,
    code,
    ...(problems.length > 0 ? { problems: problems.map((p) => ({ ...p })) } : {}),
  }
}
