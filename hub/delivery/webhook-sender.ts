/**
 * News posted to an address of the owner's choice. Receivers at home are often on this machine or the local network,
 * so private and loopback addresses are allowed: only the owner sets the address, redirects are not followed, and
 * nothing of an answer but its status is ever shown, so that no one learns from it what else listens there.
 */
import { createHmac } from 'node:crypto'
import { DeliveryError } from './delivery-error.js'

const ANSWER_MS = 10_000
const MOST_RETRY_AFTER_MS = 3_600_000
/** refusals that time mends (RFC 9110 §15.5.9, RFC 8470, RFC 6585) */
const TRY_AGAIN: ReadonlySet<number> = new Set([408, 425, 429])

export interface WebhookPost {
  readonly url: string
  readonly secret: string | null
  /** the same for every attempt, so that a receiver can drop what it has */
  readonly id: string
  /** JSON */
  readonly body: string
}

export interface WebhookSender {
  /**
   * Resolves when the receiver answered with 2xx.
   * @throws DeliveryError
   */
  post(post: WebhookPost): Promise<void>
}

/**
 * What the receiver works out again and compares, hexadecimal: HMAC-SHA256 (RFC 2104) with the shared secret over time,
 * id and body, joined by line feeds.
 */
export const signature = (secret: string, sentAtS: number, id: string, body: string): string =>
  createHmac('sha256', secret).update(`${sentAtS}\n${id}\n${body}`).digest('hex')

export function createWebhookSender(options: {
  readonly now: () => number
  readonly answerMs?: number
}): WebhookSender {
  const { now, answerMs = ANSWER_MS } = options
  return {
    async post({ url, secret, id, body }) {
      const sentAtS = Math.floor(now() / 1000)
      let response: Response
      try {
        response = await fetch(url, {
          method: 'POST',
          redirect: 'manual',
          signal: AbortSignal.timeout(answerMs),
          headers: {
            'content-type': 'application/json',
            'user-agent': 'hearting',
            'hearting-delivery': id,
            'hearting-sent-at': String(sentAtS),
            ...(secret === null ? {} : { 'hearting-hmac-sha256': signature(secret, sentAtS, id, body) }),
          },
          body,
        })
      } catch (error) {
        throw asDeliveryError(error, answerMs)
      }
      await response.body?.cancel()
      const { status } = response
      if (status >= 200 && status < 300) return
      if (status < 500 && !TRY_AGAIN.has(status)) {
        const what = status < 400 ? 'sent it elsewhere, which is not followed' : 'refused it'
        throw new DeliveryError('REFUSED', `The receiver ${what} (status ${status}).`)
      }
      throw new DeliveryError('REFUSED_FOR_NOW', `The receiver does not take it now (status ${status}).`, {
        retryAfterMs: retryAfterMs(response.headers.get('retry-after'), now()),
      })
    },
  }
}

/** RFC 9110 §10.2.3: seconds, or a date. */
function retryAfterMs(header: string | null, nowMs: number): number | null {
  if (header === null) return null
  const waitMs = /^\d+$/.test(header) ? Number(header) * 1000 : Date.parse(header) - nowMs
  return Number.isFinite(waitMs) ? Math.min(Math.max(0, waitMs), MOST_RETRY_AFTER_MS) : null
}

const NEVER_SENT: ReadonlySet<string> = new Set([
  'ECONNREFUSED',
  'ENOTFOUND',
  'EAI_AGAIN',
  'EHOSTUNREACH',
  'ENETUNREACH',
  'UND_ERR_CONNECT_TIMEOUT',
])

function asDeliveryError(error: unknown, answerMs: number): DeliveryError {
  if (error instanceof DOMException && error.name === 'TimeoutError') {
    return new DeliveryError(
      'OUTCOME_UNKNOWN',
      `The receiver did not answer within ${answerMs / 1000} seconds; it may have got it.`,
      { cause: error },
    )
  }
  const cause = error instanceof Error ? error.cause : undefined
  // without a code nothing was tried: a port that web rules forbid, for one
  const code = cause instanceof Error && 'code' in cause ? String(cause.code) : null
  if (code === null) {
    const why = cause instanceof Error ? cause.message : 'no connection'
    return new DeliveryError('UNREACHABLE', `The receiver cannot be reached (${why}).`, { cause: error })
  }
  return NEVER_SENT.has(code) || code.includes('CERT') || code.includes('SELF_SIGNED')
    ? new DeliveryError('UNREACHABLE', `The receiver cannot be reached (${code}).`, { cause: error })
    : new DeliveryError(
        'OUTCOME_UNKNOWN',
        `The connection to the receiver broke (${code}); it may have got it.`,
        {
          cause: error,
        },
      )
}
