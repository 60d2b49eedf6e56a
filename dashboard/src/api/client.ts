/**
 * The one place that talks HTTP to the hub. A failed call is an ApiFailure that says in words what happened;
 * the hub's problem details (RFC 9457) come with it, so that a form can show each message at its field.
 */
import type { Problem } from '../../../shared/api/garden.js'
import { noteKept } from './kept-copy.js'

/** What went wrong: no answer at all, an answer that says no, or an answer that makes no sense. */
export type FailureKind = 'unreachable' | 'refused' | 'broken'

export class ApiFailure extends Error {
  constructor(
    readonly kind: FailureKind,
    readonly status: number | null,
    message: string,
    readonly problem: Problem | null = null,
  ) {
    super(message)
  }
}

export type Method = 'GET' | 'PUT' | 'POST' | 'DELETE'

function isProblem(body: unknown): body is Problem {
  return typeof body === 'object' && body !== null && 'title' in body && 'detail' in body
}

const unknownListeners: (() => void)[] = []

/** Called when the hub does not know this browser (any more): its session ended or was ended. */
export function onUnknown(listener: () => void): void {
  unknownListeners.push(listener)
}

async function parsed(response: Response): Promise<unknown> {
  const text = await response.text()
  if (text === '') return null
  try {
    return JSON.parse(text)
  } catch {
    throw new ApiFailure('broken', response.status, 'The hub answered with something that is not JSON.')
  }
}

/**
 * One call to the hub. The hub checks every answer against its own schema and serves this very page, so the shape
 * is taken as promised.
 *
 * @param body  sent as JSON; a Blob goes as it is, under its own type
 */
export async function call<T>(
  method: Method,
  path: string,
  body?: unknown,
  signal?: AbortSignal,
): Promise<T> {
  let response: Response
  try {
    response = await fetch(`/api/v1${path}`, {
      method,
      headers:
        body === undefined
          ? { accept: 'application/json' }
          : {
              accept: 'application/json',
              'content-type': body instanceof Blob ? body.type : 'application/json',
            },
      ...(body === undefined ? {} : { body: body instanceof Blob ? body : JSON.stringify(body) }),
      ...(signal === undefined ? {} : { signal }),
    })
  } catch (error) {
    if (signal?.aborted === true) throw error
    throw new ApiFailure('unreachable', null, 'The hub does not answer.')
  }
  noteKept(path, response)
  const answer = await parsed(response)
  if (response.ok) return answer as T
  if (response.status === 401) for (const told of unknownListeners) told()
  if (isProblem(answer)) throw new ApiFailure('refused', response.status, answer.detail, answer)
  throw new ApiFailure('broken', response.status, `The hub answered with status ${response.status}.`)
}

export const get = <T>(path: string, signal?: AbortSignal): Promise<T> =>
  call<T>('GET', path, undefined, signal)

/** Any error in words for the page. */
export const failureText = (error: unknown): string =>
  error instanceof Error ? error.message : 'Something unexpected went wrong.'

/** No answer, or only that of something that stands before the hub: what was asked may be asked again. */
export const isHubAway = (error: unknown): boolean =>
  error instanceof ApiFailure &&
  (error.kind === 'unreachable' || (error.kind === 'broken' && (error.status ?? 0) >= 500))

/** Was the call given up by the page itself? Then there is nothing to tell. */
export const isAborted = (error: unknown): boolean =>
  error instanceof DOMException && error.name === 'AbortError'
