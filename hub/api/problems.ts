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
  UNKNOWN_WARNING: {
    status: 404,
    title: 'There is no such warning',
    remedy: 'See GET /api/v1/gardens/{garden}/warnings.',
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
  BODY_TOO_LARGE: {
    status: 413,
    title: 'The request is too large',
    remedy: 'Send at most 64 KiB.',
  },
  UNSUPPORTED_MEDIA_TYPE: {
    status: 415,
    title: 'Only JSON is understood',
    remedy: 'Send Content-Type: application/json.',
  },
  UNKNOWN_HOST: {
    status: 421,
    title: 'The hub answers on this machine only',
    remedy: 'Open it as http://localhost, or set HEARTING_HTTP_HOST to open it to your network.',
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
