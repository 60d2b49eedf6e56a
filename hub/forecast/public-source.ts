/** A national weather service's open data, as the poller asks for it. One adapter a service beside this file. */

import type { ForecastPoint } from '../core/forecast/public-correction.js'
import type { Place } from '../core/readings.js'

export interface Answered {
  readonly kind: 'fresh'
  readonly issuedAtMs: number
  readonly points: readonly ForecastPoint[]
  /** the service asks not to be asked before; null: it does not say */
  readonly expiresAtMs: number | null
  /** to be shown to the service the next time (Last-Modified); null: nothing */
  readonly validator: string | null
}

export interface Unchanged {
  readonly kind: 'unchanged'
  readonly expiresAtMs: number | null
}

export interface PublicSource {
  /** the name in the settings, and that under which its forecasts are kept */
  readonly name: string
  /** whom to credit, as its licence asks */
  readonly attribution: string
  /**
   * @param validator  what it gave with the newest answer kept; null: none is kept
   * @throws ForecastSourceError
   */
  ask(place: Place, validator: string | null, signal: AbortSignal): Promise<Answered | Unchanged>
}

export type SourceFailure =
  /** not reached: no network, wrong name, refused connection */
  | 'UNREACHABLE'
  | 'TOO_SLOW'
  /** 401, 403: it does not want us */
  | 'REFUSED'
  /** 429: we ask too often */
  | 'TOO_OFTEN'
  /** 404, 422: it does not know this place */
  | 'OUTSIDE_AREA'
  /** 5xx and whatever else it says */
  | 'SERVER_ERROR'
  /** not the JSON that it documents, or a forecast that cannot be */
  | 'MALFORMED'

/** Why a service gave no forecast. The message is for the grower. */
export class ForecastSourceError extends Error {
  constructor(
    readonly code: SourceFailure,
    message: string,
    /** asked for by the service; null: it did not say */
    readonly retryAfterMs: number | null = null,
    options?: { cause?: unknown },
  ) {
    super(message, options)
    this.name = 'ForecastSourceError'
  }

  /** Is another try in minutes of any use? */
  get retryable(): boolean {
    return this.code !== 'REFUSED' && this.code !== 'OUTSIDE_AREA'
  }
}

/** Services ask for at most four decimals (11 m): more would defeat their caches, and say more than they need know. */
export const fourDecimals = (deg: number): string => String(Number(deg.toFixed(4)))
