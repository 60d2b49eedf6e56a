/** What goes wrong between the hub and InfluxDB, sorted by what can be done about it. */
import { StoreError } from '../port.js'

export type InfluxTrouble =
  /** does not answer, or not in time, or says that it cannot now: try again later */
  | 'down'
  /** user or password refused, or no right to this database */
  | 'denied'
  /** the database is not there (any more) */
  | 'missing'
  /** these readings, or this question, it will never take */
  | 'refused'

export class InfluxError extends Error {
  constructor(
    readonly trouble: InfluxTrouble,
    message: string,
    options?: { cause?: unknown },
  ) {
    super(message, options)
    this.name = 'InfluxError'
  }

  /** Of an error that the client throws; of a request that the server turned down it carries the answer. */
  static of(error: unknown): InfluxError {
    if (error instanceof InfluxError) return error
    const cause = error instanceof Error ? error : new Error(String(error))
    const { res } = cause as Error & { res?: { statusCode?: number } }
    const message = cause.message === '' ? cause.name : cause.message
    const status = res?.statusCode
    switch (status) {
      case 401:
      case 403:
        return new InfluxError('denied', message, { cause: plain(cause) })
      case 404:
        return new InfluxError('missing', message, { cause: plain(cause) })
      case undefined:
        return new InfluxError('down', message, { cause: plain(cause) })
      default:
        return new InfluxError(
          // field type conflict, beyond retention, malformed: the same again would fail the same
          status === 400 || status === 413 ? 'refused' : 'down',
          message,
          { cause: plain(cause) },
        )
    }
  }

  /** Of an error inside an answer with status 200. */
  static ofAnswer(message: string): InfluxError {
    const trouble = /database not found/.test(message)
      ? 'missing'
      : /not authorized|authorization failed/.test(message)
        ? 'denied'
        : /timeout|engine is closed|shard/.test(message)
          ? 'down'
          : 'refused'
    return new InfluxError(trouble, message)
  }

  /** In the words of the store port. */
  asStoreError(): StoreError {
    const advice = {
      down: 'The database (InfluxDB) does not answer: start it, or check HEARTING_INFLUX_URL',
      denied: 'The database (InfluxDB) turns the hub away: check HEARTING_INFLUX_USER and _PASSWORD',
      missing: 'The database (InfluxDB) has no such database: make it, or give the user the right to',
      refused: 'The database (InfluxDB) refused',
    }[this.trouble]
    return new StoreError('STORE_UNAVAILABLE', `${advice}. (${this.message})`, this.trouble !== 'refused', {
      cause: this,
    })
  }
}

/** The client's errors hold the whole request, its password included: only their text goes on. */
function plain(cause: Error): Error {
  const kept = new Error(cause.message)
  kept.name = cause.name
  return kept
}
