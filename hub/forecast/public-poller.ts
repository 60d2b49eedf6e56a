/**
 * Asks the public service that the grower has switched on, a garden at a time: not before its answer expires, with
 * pauses that grow after failures and are never quite the same, so that hubs do not all ask at once.
 */
import type { BaseLogger } from 'pino'
import type { Garden } from '../../shared/api/garden.js'
import type { GardenRepository } from '../garden/port.js'
import type { ReceivedForecast } from './port.js'
import { ForecastSourceError, type PublicSource } from './public-source.js'

const MINUTE_MS = 60_000
const HOUR_MS = 60 * MINUTE_MS

export interface Pauses {
  /** between two questions, whatever the service says */
  readonly leastMs: number
  readonly mostMs: number
  /** where the service does not say */
  readonly usualMs: number
  /** after the first failure; doubled after each further one, up to mostMs */
  readonly firstRetryMs: number
  /** after being turned away, or where it has no forecast for the place */
  readonly refusedMs: number
  /** one question may take */
  readonly patienceMs: number
}

export const PAUSES: Pauses = {
  leastMs: 30 * MINUTE_MS,
  mostMs: 6 * HOUR_MS,
  usualMs: HOUR_MS,
  firstRetryMs: 2 * MINUTE_MS,
  refusedMs: 12 * HOUR_MS,
  patienceMs: 20_000,
}

export interface PollerStatus {
  readonly nextTryAtMs: number | null
  readonly problem: string | null
}

export interface PublicPoller {
  status(garden: string): PollerStatus
  /** Begins with all gardens, and with those that are set up later. */
  start(): Promise<void>
  /** A garden was set up, or moved: it is asked for anew if so. */
  gardenChanged(garden: string): void
  /** Ends the question under way; nothing is asked any more. */
  close(): Promise<void>
}

export interface PollerDeps {
  readonly source: PublicSource
  readonly garden: GardenRepository
  readonly now: () => number
  /** @returns why it is not taken; null: it is kept, durably */
  readonly take: (
    garden: string,
    forecast: ReceivedForecast,
    about: { readonly expiresAtMs: number | null; readonly validator: string | null },
  ) => Promise<string | null>
  readonly log: Pick<BaseLogger, 'warn' | 'info'>
  /** 0 to 1, for the jitter */
  readonly random?: () => number
  readonly pauses?: Pauses
}

interface Watched {
  /** coordinates asked for last */
  place: string
  timer: NodeJS.Timeout | null
  nextTryAtMs: number | null
  problem: string | null
  failures: number
}

export function createPublicPoller(deps: PollerDeps): PublicPoller {
  const { source, garden: repository, now, log, random = Math.random, pauses = PAUSES } = deps
  const watched = new Map<string, Watched>()
  const abort = new AbortController()
  const underWay = new Set<Promise<void>>()

  const placeOf = ({ latitudeDeg, longitudeDeg, elevationM }: Garden): string =>
    [latitudeDeg, longitudeDeg, elevationM].join(' ')

  /** A tenth more at most, never less: an expiry is a promise. */
  const later = (ms: number): number => ms * (1 + 0.1 * random())
  /** Retries spread over a quarter both ways. */
  const aroundAbout = (ms: number): number => ms * (0.75 + 0.5 * random())

  const schedule = (id: string, one: Watched, waitMs: number): void => {
    if (abort.signal.aborted) return
    if (one.timer) clearTimeout(one.timer)
    one.nextTryAtMs = now() + waitMs
    one.timer = setTimeout(() => {
      one.timer = null
      const asking = ask(id, one).finally(() => underWay.delete(asking))
      underWay.add(asking)
    }, waitMs)
    // a forecast is no reason to keep a process alive
    one.timer.unref()
  }

  const pauseUntil = (expiresAtMs: number | null): number => {
    const asked = expiresAtMs === null ? pauses.usualMs : expiresAtMs - now()
    return later(Math.min(Math.max(asked, pauses.leastMs), pauses.mostMs))
  }

  const ask = async (id: string, one: Watched): Promise<void> => {
    try {
      const garden = await repository.getGarden(id)
      if (!garden) return
      const isMoved = one.place !== '' && one.place !== placeOf(garden)
      one.place = placeOf(garden)
      const known = (await repository.publicForecasts(id)).find((kept) => kept.source === source.name)
      const signal = AbortSignal.any([abort.signal, AbortSignal.timeout(pauses.patienceMs)])
      const answer = await source.ask(garden, isMoved ? null : (known?.validator ?? null), signal)
      if (answer.kind === 'unchanged') {
        if (!known)
          throw new ForecastSourceError(
            'MALFORMED',
            'the service says that nothing changed, but nothing is known',
          )
        await repository.keepPublicForecast(id, {
          ...known,
          fetchedAtMs: now(),
          expiresAtMs: answer.expiresAtMs,
        })
      } else {
        const { issuedAtMs, points, expiresAtMs, validator } = answer
        const { name, attribution } = source
        const why = await deps.take(
          id,
          { source: name, attribution, issuedAtMs, points },
          { expiresAtMs, validator },
        )
        if (why !== null) throw new ForecastSourceError('MALFORMED', `its forecast cannot be used: ${why}`)
      }
      if (one.problem !== null) log.info({ garden: id, source: source.name }, 'the public forecast is back')
      one.problem = null
      one.failures = 0
      schedule(id, one, pauseUntil(answer.expiresAtMs))
    } catch (error) {
      if (abort.signal.aborted) return
      fail(id, one, error)
    }
  }

  const fail = (id: string, one: Watched, error: unknown): void => {
    const failure = error instanceof ForecastSourceError ? error : null
    const message = failure?.message ?? 'the forecast could not be kept'
    // said once for each trouble, not at every try
    if (one.problem !== message)
      log.warn({ err: error, garden: id, source: source.name }, 'no public forecast')
    one.problem = message
    one.failures++
    const doubled = pauses.firstRetryMs * 2 ** Math.min(one.failures - 1, 16)
    const ownMs = failure && !failure.retryable ? pauses.refusedMs : Math.min(doubled, pauses.mostMs)
    schedule(id, one, Math.max(aroundAbout(ownMs), later(failure?.retryAfterMs ?? 0)))
  }

  const watch = async (id: string): Promise<void> => {
    if (watched.has(id) || abort.signal.aborted) return
    const one: Watched = { place: '', timer: null, nextTryAtMs: null, problem: null, failures: 0 }
    watched.set(id, one)
    const [garden, forecasts] = await Promise.all([repository.getGarden(id), repository.publicForecasts(id)])
    if (!garden) {
      watched.delete(id)
      return
    }
    one.place = placeOf(garden)
    const known = forecasts.find((kept) => kept.source === source.name)
    // a restart is no reason to ask before the answer expires
    const left = known ? (known.expiresAtMs ?? known.fetchedAtMs + pauses.usualMs) - now() : 0
    schedule(id, one, later(Math.min(Math.max(left, 0), pauses.mostMs)))
  }

  return {
    status(garden) {
      const one = watched.get(garden)
      return { nextTryAtMs: one?.nextTryAtMs ?? null, problem: one?.problem ?? null }
    },
    async start() {
      for (const { id } of await repository.listGardens()) await watch(id)
    },
    gardenChanged(id) {
      const one = watched.get(id)
      const checking = (
        one
          ? repository.getGarden(id).then((garden) => {
              if (garden && one.place !== '' && one.place !== placeOf(garden)) schedule(id, one, 0)
            })
          : watch(id)
      )
        .catch((error: unknown) => log.warn({ err: error, garden: id }, 'the garden’s place was not read'))
        .finally(() => underWay.delete(checking))
      underWay.add(checking)
    },
    async close() {
      abort.abort()
      for (const { timer } of watched.values()) if (timer) clearTimeout(timer)
      await Promise.all(underWay)
    },
  }
}
