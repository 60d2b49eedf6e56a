/**
 * The API on a real store and a real garden database in a folder of its own; requests are injected, nothing
 * listens. Every reply is checked against its schema. What ingest knows is set by the test.
 */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { FastifyInstance } from 'fastify'
import pino from 'pino'
import type { ApiDeps, IngestStatus, NodePresence, NodeRefusals } from '../../hub/api/deps.js'
import { warningOnWire } from '../../hub/api/figures.js'
import { createMetrics } from '../../hub/api/metrics.js'
import { buildServer } from '../../hub/api/server.js'
import { openDelivery } from '../../hub/delivery/open-delivery.js'
import { createCalendarKeys } from '../../hub/doors/calendar-keys.js'
import { createForecastService } from '../../hub/forecast/forecast-service.js'
import { createBedMeasurements } from '../../hub/garden/bed-measurements.js'
import { createBedSkies } from '../../hub/garden/bed-skies.js'
import { createSeasonPlans } from '../../hub/garden/season-plan.js'
import { createSeasonReviews } from '../../hub/garden/season-review.js'
import { createSeasonTasks } from '../../hub/garden/season-tasks.js'
import { openSqliteGarden } from '../../hub/garden/sqlite-garden.js'
import { createTodayFigures } from '../../hub/garden/today.js'
import type { Refusal } from '../../hub/ingest/stored-readings.js'
import { createGardenKeep } from '../../hub/keep/garden-keep.js'
import { createLiveBus } from '../../hub/live-bus.js'
import type { Reading } from '../../hub/store/port.js'
import { openSqliteStore } from '../../hub/store/sqlite/open-sqlite-store.js'

export const NOW_MS = Date.parse('2027-06-15T12:00:00Z')

export interface Answer {
  readonly status: number
  readonly type: string
  // biome-ignore lint/suspicious/noExplicitAny: replies of many shapes, looked into by tests
  readonly body: any
  readonly headers: Readonly<Record<string, unknown>>
}

export interface ApiFixture {
  readonly app: FastifyInstance
  readonly deps: ApiDeps
  readonly presences: Map<string, NodePresence>
  readonly refusals: Map<string, Refusal[]>
  ask(method: 'GET' | 'PUT' | 'POST' | 'DELETE', path: string, body?: unknown): Promise<Answer>
  /** stores readings as ingest does */
  store(readings: readonly Reading[]): Promise<void>
  /** sets up the garden `home` in Copenhagen with the bed `long` and the node `n1` standing in it all year */
  setUpHome(): Promise<void>
  close(): Promise<void>
}

/** @param change  other parts instead of the usual ones, given those */
export async function openApi(
  change: (parts: ApiDeps) => Partial<ApiDeps> = () => ({}),
): Promise<ApiFixture> {
  const dataDir = await mkdtemp(join(tmpdir(), 'hearting-api-'))
  const store = await openSqliteStore({ dataDir })
  const garden = await openSqliteGarden({ dataDir })
  const now = (): number => NOW_MS
  const measurements = createBedMeasurements({ store, garden, now })
  const today = createTodayFigures({ garden, measurements, now })
  const forecasts = createForecastService({
    garden,
    measurements,
    now,
    log: pino({ level: 'silent' }),
    source: null,
  })
  const presences = new Map<string, NodePresence>()
  const refusals = new Map<string, Refusal[]>()
  const log = pino({ level: process.env.HEARTING_LOG_LEVEL ?? 'silent' })
  const skies = createBedSkies({ garden, measurements, now })
  const usual: ApiDeps = {
    doors: null,
    nodeGate: null,
    garden,
    store,
    measurements,
    skies,
    today,
    forecasts,
    tasks: createSeasonTasks({ garden, measurements, forecasts, now }),
    plans: createSeasonPlans({ garden, measurements, skies, now }),
    reviews: createSeasonReviews({ garden, measurements, now }),
    calendarKeys: createCalendarKeys(garden, now),
    keep: createGardenKeep({
      garden,
      store,
      measurements,
      now,
      storeReadings: (readings, atMs) =>
        measurements.appendAndForget(readings, () => store.append(readings, atMs)),
    }),
    publicUrl: null,
    ingest: ingestStatus(presences, refusals),
    delivery: openDelivery({
      garden,
      mailServer: null,
      now,
      log,
      onWire: warningOnWire,
      pageUrl: null,
      isDemo: false,
    }).desk,
    live: createLiveBus((error) => {
      throw error
    }),
    metrics: createMetrics(),
    log,
    now,
    pageDir: null,
    maxLiveStreams: 2,
    onGardenChanged: today.gardenChanged,
    loopbackOnly: true,
    checkReplies: true,
  }
  const deps = { ...usual, ...change(usual) }
  const app = await buildServer(deps)

  const ask: ApiFixture['ask'] = async (method, path, body) => {
    const response = await app.inject({
      method,
      url: path.startsWith('/') ? path : `/api/v1/${path}`,
      ...(body === undefined ? {} : { payload: body as object }),
    })
    const type = String(response.headers['content-type'] ?? '')
    return {
      status: response.statusCode,
      type,
      body: type.includes('json') ? response.json() : response.body,
      headers: response.headers,
    }
  }
  return {
    app,
    deps,
    presences,
    refusals,
    ask,
    async store(readings) {
      await measurements.appendAndForget(readings, () => store.append(readings, now()))
      today.readingsStored(readings)
      forecasts.readingsStored({ readings, receivedAtMs: now() })
    },
    async setUpHome() {
      await expectStatus(ask('PUT', 'gardens/home', COPENHAGEN), 201)
      await expectStatus(ask('PUT', 'gardens/home/beds/long', LONG_BED), 201)
      await expectStatus(ask('PUT', 'gardens/home/nodes/n1', { name: 'by the wall' }), 201)
      const placement = { node: 'n1', bed: 'long', from: '2027-01-01T00:00:00Z' }
      await expectStatus(ask('POST', 'gardens/home/placements', placement), 201)
    },
    async close() {
      await app.close()
      await garden.close()
      await store.close()
      await rm(dataDir, { recursive: true, force: true })
    },
  }
}

export const COPENHAGEN = {
  name: 'Allotment 12',
  latitudeDeg: 55.7,
  longitudeDeg: 12.5,
  elevationM: 20,
  timeZone: 'Europe/Copenhagen',
}
export const LONG_BED = { name: 'Long bed', kind: 'raised', lengthM: 3, widthM: 1.2, depthM: 0.4 }

async function expectStatus(asked: Promise<Answer>, status: number): Promise<void> {
  const answer = await asked
  if (answer.status !== status) throw new Error(`${answer.status}: ${JSON.stringify(answer.body)}`)
}

function ingestStatus(
  presences: ReadonlyMap<string, NodePresence>,
  refusals: ReadonlyMap<string, readonly Refusal[]>,
): IngestStatus {
  const key = (garden: string, node: string | null): string => `${garden}/${node ?? ''}`
  return {
    heardNodes: (garden) =>
      [...presences.keys(), ...refusals.keys()]
        .filter((known) => known.startsWith(`${garden}/`) && known.length > garden.length + 1)
        .map((known) => known.slice(garden.length + 1)),
    presence: (garden, node) => presences.get(key(garden, node)) ?? null,
    refusals(garden, node): NodeRefusals {
      const refused = refusals.get(key(garden, node)) ?? []
      const byReason: Partial<Record<Refusal['reason'], number>> = {}
      for (const { reason } of refused) byReason[reason] = (byReason[reason] ?? 0) + 1
      return { total: refused.length, byReason, latest: refused.at(-1) ?? null }
    },
    isListening: () => true,
  }
}

/** Readings of one quantity every `everyS` seconds. */
export function readingsOf(
  quantity: string,
  from: string,
  count: number,
  everyS: number,
  valueAt: (i: number) => number,
  node = 'n1',
): Reading[] {
  const fromMs = Date.parse(from)
  return Array.from({ length: count }, (_, i) => ({
    garden: 'home',
    node,
    quantity,
    timeMs: fromMs + i * everyS * 1000,
    value: valueAt(i),
    flags: 0,
  }))
}
