/**
 * What the API needs of the rest of the hub. This folder turns HTTP into calls of these and their answers into
 * JSON; it decides nothing about gardens. May import core, shared and port files; hub/main.ts hands the parts in.
 */

import type { IncomingMessage, ServerResponse } from 'node:http'
import type { FastifyBaseLogger, FastifyInstance, RawServerDefault } from 'fastify'
import type { ZodTypeProvider } from 'fastify-type-provider-zod'
import type { LiveEvent } from '../../shared/api/warnings.js'
import type { DeliveryDesk } from '../delivery/port.js'
import type { CalendarKeys, Doors } from '../doors/port.js'
import type { Forecasts } from '../forecast/port.js'
import type { BedMeasurements, TodayFigures } from '../garden/measured.js'
import type { GardenRepository } from '../garden/port.js'
import type { SeasonReviews } from '../garden/review-port.js'
import type { SeasonPlans } from '../garden/season-plan-port.js'
import type { BedSkies } from '../garden/skies.js'
import type { GardenTasks } from '../garden/tasks-port.js'
import type { Presence, Refusal, RefusalReason } from '../ingest/stored-readings.js'
import type { GardenKeep } from '../keep/port.js'
import type { ReadingStore } from '../store/port.js'
import type { Metrics } from './metrics.js'

/** Route files get this: fastify, with zod schemas typing requests and replies. */
export type Api = FastifyInstance<
  RawServerDefault,
  IncomingMessage,
  ServerResponse,
  FastifyBaseLogger,
  ZodTypeProvider
>

/** What one node's packs were turned away for since the hub started. */
export interface NodeRefusals {
  readonly total: number
  readonly byReason: Readonly<Partial<Record<RefusalReason, number>>>
  readonly latest: Refusal | null
}

export interface NodePresence {
  readonly presence: Presence
  readonly atMs: number
}

/** What ingest knows beyond the readings it stored. */
export interface IngestStatus {
  /** nodes of a garden that said they are there, or had packs refused, since the hub started */
  heardNodes(garden: string): string[]
  presence(garden: string, node: string): NodePresence | null
  /** node null: packs whose topic named none; garden '' besides: that named no garden either */
  refusals(garden: string, node: string | null): NodeRefusals
  /** does the broker take connections? */
  isListening(): boolean
  /** services behind the hub that are in trouble, in words; empty when all is well */
  notices?(): string[]
}

/** News of one garden, to every page that follows it. */
export interface LiveNews {
  publish(garden: string, event: LiveEvent): void
  /** @returns a function that ends the subscription */
  subscribe(garden: string, listener: (event: LiveEvent) => void): () => void
}

/** How nodes reach the broker of this hub. */
export interface NodeGate {
  readonly port: number
  readonly isTls: boolean
  /** can other machines reach it? */
  readonly isReachable: boolean
  topic(kind: 'readings' | 'presence' | 'settings', garden: string, node: string): string
}

/** Another broker, which nodes publish to and the hub listens to. */
export interface OtherBroker {
  readonly host: string
  readonly port: number
  readonly isTls: boolean
  topic(kind: 'readings', garden: string, node: string): string
}

export interface ApiDeps {
  /** null: everybody who reaches the hub may do everything (loopback only; see hub/main.ts) */
  readonly doors: Doors | null
  /** null: nodes sign in at a broker that is not this hub's */
  readonly nodeGate: (() => NodeGate) | null
  /** there where nodeGate is null */
  readonly otherBroker?: OtherBroker
  readonly garden: GardenRepository
  readonly store: ReadingStore
  readonly measurements: BedMeasurements
  readonly skies: BedSkies
  readonly today: Pick<TodayFigures, 'today'>
  readonly forecasts: Forecasts
  readonly tasks: GardenTasks
  readonly plans: SeasonPlans
  readonly reviews: SeasonReviews
  readonly calendarKeys: CalendarKeys
  /** the grower's data on its way out and in */
  readonly keep: GardenKeep
  /** the page's address as people open it; null: not told */
  readonly publicUrl: string | null
  readonly ingest: IngestStatus
  readonly delivery: DeliveryDesk
  readonly live: LiveNews
  readonly metrics: Metrics
  readonly log: FastifyBaseLogger
  /** UTC ms */
  readonly now: () => number
  /** folder of the built page; null: API only */
  readonly pageDir: string | null
  readonly maxLiveStreams: number
  /** told when a garden's data (place, beds, placements, plantings …) has been changed */
  readonly onGardenChanged?: (garden: string) => void
  /**
   * Answer only requests that name this machine itself in their Host header. On while the hub listens on
   * loopback without sign-in: a page elsewhere cannot then reach it by a name that it made resolve here.
   */
  readonly loopbackOnly: boolean
  /** PEM; speaks HTTP over TLS, and nothing else */
  readonly tls?: { readonly cert: Buffer; readonly key: Buffer }
  /** addresses of proxies whose word about the visitor's address and TLS is taken */
  readonly trustedProxies?: readonly string[]
  /** check every reply against its schema (tests); off in service, where it would cost more than the answer */
  readonly checkReplies?: boolean
}
