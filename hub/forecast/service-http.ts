/** HTTP to public services: named, bounded in time and size, every failure a ForecastSourceError. */
import type { ZodType } from 'zod'
import { ForecastSourceError } from './public-source.js'

const MOST_BYTES = 4 * 1024 * 1024
const SECOND_MS = 1000

export interface ServiceAnswer<T> {
  /** null: 304, not modified */
  readonly body: T | null
  readonly expiresAtMs: number | null
  readonly lastModified: string | null
}

export interface ServiceRequest<T> {
  readonly url: string
  /** who we are and how to reach the owner: services turn nameless callers away */
  readonly userAgent: string
  readonly accept: string
  readonly validator: string | null
  readonly schema: ZodType<T>
  readonly signal: AbortSignal
  /** the service's name, for messages */
  readonly service: string
  /** UTC ms */
  readonly nowMs: number
}

/** @throws ForecastSourceError */
export async function askService<T>(request: ServiceRequest<T>): Promise<ServiceAnswer<T>> {
  const { service, signal } = request
  let response: Response
  let text: string
  try {
    response = await fetch(request.url, {
      headers: {
        'user-agent': request.userAgent,
        accept: request.accept,
        ...(request.validator === null ? {} : { 'if-modified-since': request.validator }),
      },
      signal,
      redirect: 'follow',
    })
    text = await readBounded(response, service)
  } catch (cause) {
    if (cause instanceof ForecastSourceError) throw cause
    if (signal.aborted) {
      throw new ForecastSourceError('TOO_SLOW', `${service} did not answer in time`, null, { cause })
    }
    const why = cause instanceof Error && cause.cause instanceof Error ? cause.cause.message : String(cause)
    throw new ForecastSourceError('UNREACHABLE', `${service} cannot be reached: ${why}`, null, { cause })
  }
  const expiresAtMs = expiryOf(response.headers, request.nowMs)
  const lastModified = response.headers.get('last-modified')
  if (response.status === 304) return { body: null, expiresAtMs, lastModified }
  if (!response.ok) throw failureOf(response, service, request.nowMs)
  return { body: parsed(text, request), expiresAtMs, lastModified }
}

async function readBounded(response: Response, service: string): Promise<string> {
  if (response.body === null) return ''
  const decoder = new TextDecoder()
  let text = ''
  let bytes = 0
  for await (const part of response.body) {
    bytes += part.byteLength
    if (bytes > MOST_BYTES) {
      throw new ForecastSourceError('MALFORMED', `${service} sent more than ${MOST_BYTES} bytes`)
    }
    text += decoder.decode(part, { stream: true })
  }
  return text + decoder.decode()
}

function parsed<T>(text: string, { schema, service }: ServiceRequest<T>): T {
  let json: unknown
  try {
    json = JSON.parse(text)
  } catch (cause) {
    throw new ForecastSourceError('MALFORMED', `${service} sent something that is not JSON`, null, { cause })
  }
  const result = schema.safeParse(json)
  if (result.success) return result.data
  const [issue] = result.error.issues
  throw new ForecastSourceError(
    'MALFORMED',
    `${service} sent JSON of another form than it documents (${issue?.path.join('.')}: ${issue?.message})`,
    null,
    { cause: result.error },
  )
}

function failureOf({ status, headers }: Response, service: string, nowMs: number): ForecastSourceError {
  const retryAfterMs = retryAfterOf(headers, nowMs)
  if (status === 401 || status === 403) {
    return new ForecastSourceError(
      'REFUSED',
      `${service} turns this hub away (${status}): is HEARTING_FORECAST_CONTACT an address at which you can be reached?`,
      retryAfterMs,
    )
  }
  if (status === 429) {
    return new ForecastSourceError('TOO_OFTEN', `${service} says that it is asked too often`, retryAfterMs)
  }
  if (status === 404 || status === 422) {
    return new ForecastSourceError(
      'OUTSIDE_AREA',
      `${service} has no forecast for the garden’s place (${status}): is it outside its area?`,
      retryAfterMs,
    )
  }
  return new ForecastSourceError('SERVER_ERROR', `${service} answered with status ${status}`, retryAfterMs)
}

/** RFC 9110 §10.2.3: seconds or a date. */
function retryAfterOf(headers: Headers, nowMs: number): number | null {
  const given = headers.get('retry-after')
  if (given === null) return null
  if (/^\d{1,7}$/.test(given)) return Number(given) * SECOND_MS
  const atMs = Date.parse(given)
  return Number.isFinite(atMs) ? Math.max(atMs - nowMs, 0) : null
}

/** RFC 9111 §5.2.2.1 and §5.3: max-age goes before Expires. */
function expiryOf(headers: Headers, nowMs: number): number | null {
  const maxAge = /(?:^|[\s,])max-age=(\d{1,9})/.exec(headers.get('cache-control') ?? '')?.[1]
  if (maxAge !== undefined) return nowMs + Number(maxAge) * SECOND_MS
  const expires = headers.get('expires')
  const atMs = expires === null ? Number.NaN : Date.parse(expires)
  return Number.isFinite(atMs) ? atMs : null
}
