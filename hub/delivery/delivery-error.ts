/** A message that did not go out: outside failure, with what to do about it in plain words. */
export type DeliveryErrorCode =
  | 'UNREACHABLE'
  | 'NO_ANSWER'
  | 'LOGIN_REFUSED'
  | 'NO_TLS'
  | 'REFUSED_FOR_NOW'
  | 'REFUSED'
  /** handed over, but the answer was lost: it may arrive although this says it did not */
  | 'OUTCOME_UNKNOWN'

export class DeliveryError extends Error {
  readonly retryable: boolean
  /** the receiver asks not to be tried before; ms from now, null: it said nothing */
  readonly retryAfterMs: number | null

  constructor(
    readonly code: DeliveryErrorCode,
    message: string,
    options: { readonly cause?: unknown; readonly retryAfterMs?: number | null } = {},
  ) {
    super(message, { cause: options.cause })
    this.name = 'DeliveryError'
    this.retryable = code !== 'REFUSED'
    this.retryAfterMs = options.retryAfterMs ?? null
  }
}
