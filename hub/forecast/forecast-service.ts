/** Joins the forecasts of a hub: bed states, public sources, and what is said of them (port.ts). */
import type { BaseLogger } from 'pino'
import type { Garden } from '../../shared/api/garden.js'
import { localDate, localDay } from '../../shared/local-time.js'
import { bedForecast, bedSpellOdds } from '../core/forecast/bed-outlook.js'
import { whyImplausible } from '../core/forecast/forecast-plausibility.js'
import { dayNumber } from '../core/forecast/seasonal-cycle.js'
import type { BedMeasurements } from '../garden/measured.js'
import type { GardenRepository } from '../garden/port.js'
import type { StoredReadings } from '../ingest/stored-readings.js'
import { type BedState, type CurrentState, createBedState } from './bed-state.js'
import { ageInWords, NOTHING_MEASURED, spokenWords, staleWords } from './forecast-words.js'
import type { BedAhead, Forecasts, PublicStatus, ReceivedForecast } from './port.js'
import { createPublicPoller, type Pauses } from './public-poller.js'
import type { PublicSource } from './public-source.js'

const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS
/** Clocks of services and hubs may be this far apart. */
const CLOCK_MS = 10 * 60_000
/** Beyond six days a forecast is of little use in a bed, and the state that waits for it grows. */
const LOOK_AHEAD_MS = 6 * DAY_MS
const LOOK_BACK_MS = 6 * HOUR_MS
/** A public forecast older than this no longer speaks (core/forecast/bed-outlook.ts). */
const FRESH_FOR_MS = DAY_MS
/** Readings older than this change days that have been taken in. */
const LATE_MS = 5 * HOUR_MS
/** With fewer measured days than these, odds rest on beliefs more than on the bed (its first eight months). */
const SEASON_DAYS = 240
/** Until so many of its forecasts have been held against the bed, a public one is read with care too. */
const VERIFIED_DAYS = 30
/** After so many days without a measured one, the bed's own forecast says no more than the time of year. */
const MOST_MISSED_DAYS = 3

export interface ForecastService extends Forecasts {
  start(): Promise<void>
  readingsStored(stored: StoredReadings): void
  gardenChanged(garden: string): void
  close(): Promise<void>
}

export interface ForecastServiceDeps {
  readonly garden: GardenRepository
  readonly measurements: BedMeasurements
  readonly now: () => number
  readonly log: Pick<BaseLogger, 'warn' | 'info'>
  /** null: none switched on */
  readonly source: PublicSource | null
  readonly pauses?: Pauses
}

export function createForecastService(deps: ForecastServiceDeps): ForecastService {
  const { garden: repository, measurements, now, source } = deps
  const states = new Map<string, Map<string, BedState>>()

  const stateOf = (garden: string, bed: string): BedState => {
    const beds = states.get(garden) ?? new Map<string, BedState>()
    states.set(garden, beds)
    const known = beds.get(bed) ?? createBedState(deps, bed)
    beds.set(bed, known)
    return known
  }

  const keep = async (
    garden: string,
    { source: name, attribution, issuedAtMs, points }: ReceivedForecast,
    about: { readonly expiresAtMs: number | null; readonly validator: string | null },
  ): Promise<string | null> => {
    const nowMs = now()
    if (issuedAtMs > nowMs + CLOCK_MS) return 'it says that it was made in the future'
    const useful = points.filter(
      ({ validAtMs }) => validAtMs >= nowMs - LOOK_BACK_MS && validAtMs <= nowMs + LOOK_AHEAD_MS,
    )
    const why = whyImplausible(points)
    if (why !== null) return why
    if (useful.filter(({ validAtMs }) => validAtMs > nowMs).length < 2) {
      return 'it says nothing of the days to come'
    }
    const before = (await repository.publicForecasts(garden)).find((one) => one.source === name)
    if (before && issuedAtMs < before.issuedAtMs) {
      return `it is older than the one known, issued ${ageInWords(nowMs - before.issuedAtMs)} ago`
    }
    await repository.keepPublicForecast(garden, {
      source: name,
      attribution,
      issuedAtMs: Math.min(issuedAtMs, nowMs),
      fetchedAtMs: nowMs,
      points: useful,
      ...about,
    })
    return null
  }

  const poller =
    source &&
    createPublicPoller({
      source,
      garden: repository,
      now,
      take: keep,
      log: deps.log,
      ...(deps.pauses === undefined ? {} : { pauses: deps.pauses }),
    })

  const publicStatus = async (garden: string): Promise<PublicStatus | null> => {
    const nowMs = now()
    const kept = await repository.publicForecasts(garden)
    const newest = kept.find((one) => nowMs - one.issuedAtMs <= FRESH_FOR_MS) ?? kept[0]
    const name = newest?.source ?? source?.name
    if (name === undefined) return null
    const { nextTryAtMs, problem } = poller?.status(garden) ?? { nextTryAtMs: null, problem: null }
    return {
      source: name,
      attribution: newest?.attribution ?? source?.attribution ?? null,
      state: !newest ? 'waiting' : nowMs - newest.issuedAtMs <= FRESH_FOR_MS ? 'fresh' : 'stale',
      issuedAtMs: newest?.issuedAtMs ?? null,
      fetchedAtMs: newest?.fetchedAtMs ?? null,
      nextTryAtMs,
      problem,
      points: newest?.points ?? [],
    }
  }

  const ahead = async (garden: Garden, bed: string): Promise<BedAhead> => {
    const nowMs = now()
    const around = { place: garden, timeZone: garden.timeZone }
    const today = localDay(localDate(nowMs, garden.timeZone), garden.timeZone)
    const [current, airTemp, status] = await Promise.all([
      stateOf(garden.id, bed).current(garden, nowMs),
      measurements.readRange(garden.id, bed, 'air-temp', today.startMs, nowMs + CLOCK_MS),
      publicStatus(garden.id),
    ])
    const { state } = current
    const forecast = bedForecast(state, airTemp, nowMs, around)
    const missedDays = missedOf(current, today.date)
    const isStale = status?.state === 'stale'
    const stale = isStale ? staleWords(status.source, status.issuedAtMs!, nowMs) : ''
    const problem = status?.problem ? ` ${sentence(status.problem)}` : ''
    if (forecast.source === 'bed' && forecast.restsOn === 0) {
      return { ...NOTHING, bed, words: `${NOTHING_MEASURED}${stale}${problem}` }
    }
    const isPublic = forecast.source === 'public'
    const publicSource = isPublic
      ? { name: current.publicSource ?? '', attribution: attributionOf(status, current.publicSource) }
      : null
    return {
      bed,
      forecast,
      words: `${spokenWords({ forecast, nowMs, publicSource: current.publicSource, missedDays })}${stale}${problem}`,
      isFresh: isPublic || (missedDays !== null && missedDays <= MOST_MISSED_DAYS),
      isFirstSeason: isPublic ? forecast.restsOn < VERIFIED_DAYS : state.own.local.measuredDays < SEASON_DAYS,
      publicSource,
      spellOdds: (thresholdC, spellDays) => bedSpellOdds(state, forecast, thresholdC, spellDays),
    }
  }

  return {
    ahead,
    publicStatus,
    take: (garden, forecast) => keep(garden, forecast, { expiresAtMs: null, validator: null }),
    start: async () => poller?.start(),
    readingsStored({ readings }) {
      const lateMs = now() - LATE_MS
      for (const { garden, node, quantity, timeMs } of readings) {
        if (quantity !== 'air-temp' || timeMs >= lateMs) continue
        for (const state of states.get(garden)?.values() ?? []) state.late(node, timeMs)
      }
    },
    gardenChanged: (garden) => poller?.gardenChanged(garden),
    close: async () => poller?.close(),
  }
}

const NOTHING: Omit<BedAhead, 'bed' | 'words'> = {
  forecast: null,
  isFresh: false,
  isFirstSeason: true,
  publicSource: null,
  spellOdds: () => null,
}

/** Days over since the newest measured one, 0: yesterday was; null: none was ever. */
function missedOf({ state }: CurrentState, today: string): number | null {
  const newest = state.own.newest?.date
  return newest === undefined ? null : Math.max(0, dayNumber(today) - dayNumber(newest) - 1)
}

const attributionOf = (status: PublicStatus | null, source: string | null): string | null =>
  status !== null && status.source === source ? status.attribution : null

const sentence = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}.`
