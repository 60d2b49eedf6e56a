/** The days of a season's carpet: sun states in minutes of the day. Computed like day records, and kept beside them. */
import { createHash } from 'node:crypto'
import { setImmediate } from 'node:timers/promises'
import type { Garden } from '../../shared/api/garden.js'
import type { CarpetDay } from '../../shared/api/sun.js'
import { type LocalDay, localDays } from '../../shared/local-time.js'
import { DAY_RECORD_VERSION } from '../core/days/day-record.js'
import type { LightReadings } from '../core/sun/bed-light.js'
import type { DaySun } from '../core/sun/day-sun.js'
import { hasSkyline, skylineOf } from '../core/sun/learned-sun.js'
import { type LostSpan, lostSun } from '../core/sun/lost-sun.js'
import { placedDaySun } from '../core/sun/placed-day.js'
import { SUN_STATES } from '../core/sun/sun-states.js'
import type { AppendLedger, NodeSpan } from './append-ledger.js'
import { byMonth, within } from './bed-days.js'
import type { BedSeries } from './bed-series.js'
import { type BedSegment, segmentsWithin } from './bed-timeline.js'
import { LIGHT_FLAGS_REACH_MS, LIGHT_WINDOW_MS, SETTLED_MS } from './day-influence.js'
import { monthOf } from './learning-window.js'
import type { DayComputation, GardenRepository } from './port.js'
import type { BedSky } from './skies.js'
import type { SunLearning } from './sun-learning.js'

const MINUTE_MS = 60_000

export interface SunCarpets {
  /** one entry a date, both included */
  days(garden: Garden, bed: string, fromDate: string, toDate: string): Promise<CarpetDay[]>
}

export function createSunCarpets(deps: {
  readonly series: BedSeries
  readonly garden: GardenRepository
  readonly ledger: AppendLedger
  readonly learning: SunLearning
  readonly now: () => number
  /** told, before it happens, that days that ended by then are kept */
  readonly onKeep: (garden: string, lastEndMs: number) => void
}): SunCarpets {
  const { series, garden: repository, ledger, learning, now, onKeep } = deps

  const computeRun = async (
    garden: Garden,
    bed: string,
    days: readonly LocalDay[],
    segments: Segments,
    sky: BedSky,
    key: DayComputation,
  ): Promise<CarpetDay[]> => {
    const settledBeforeMs = now() - SETTLED_MS
    const computation = ledger.beginComputation()
    try {
      const [fromMs, toMs] = [days[0]!.startMs - LIGHT_WINDOW_MS, days.at(-1)!.endMs + LIGHT_WINDOW_MS]
      const [light, irradiance] = await Promise.all([
        series.readRange(garden.id, 'light', segments.light, fromMs, toMs),
        series.readRange(garden.id, 'irradiance', segments.irradiance, fromMs, toMs),
      ])
      const computed: { day: LocalDay; carpetDay: CarpetDay; isMeasured: boolean }[] = []
      for (const day of days) {
        const readings: LightReadings = {
          light: within(light, day, LIGHT_WINDOW_MS),
          irradiance: within(irradiance, day, LIGHT_WINDOW_MS),
        }
        const carpetDay = carpetDayOf(
          day,
          placedDaySun(day, readings, garden, now(), sky.placed),
          behindSkyline(day, garden, sky),
        )
        const isMeasured = readings.light.timeMs.length + readings.irradiance.timeMs.length > 0
        computed.push({ day, carpetDay, isMeasured })
        // other work gets its turn between two days
        await setImmediate()
      }
      const kept = computed.filter(
        ({ day, isMeasured }) =>
          isMeasured &&
          day.endMs <= settledBeforeMs &&
          !computation.isOvertaken(garden.id, restsOn(segments, day)),
      )
      if (kept.length > 0) {
        onKeep(garden.id, kept.at(-1)!.day.endMs)
        // nothing may come between the look at the ledger and this call: the database's thread keeps the order
        await repository.cacheCarpet(
          garden.id,
          bed,
          key,
          kept.map((c) => c.carpetDay),
        )
      }
      return computed.map((c) => c.carpetDay)
    } finally {
      computation.end()
    }
  }

  return {
    async days(garden, bed, fromDate, toDate) {
      const [light, irradiance] = await series.segments(garden.id, bed, ['light', 'irradiance'])
      const segments = { light: light!, irradiance: irradiance! }
      const found: CarpetDay[] = []
      for (const days of byMonth(localDays(fromDate, toDate, garden.timeZone))) {
        const sky = await learning.skyOf(garden, bed, monthOf(days[0]!.date))
        const key = computationKey(garden, segments, sky)
        const [from, to] = [days[0]!.date, days.at(-1)!.date]
        const cached = new Map(
          (await repository.cachedCarpet(garden.id, bed, from, to, key)).map((day) => [day.date, day]),
        )
        const missing = days.filter((day) => !cached.has(day.date))
        const computed = missing.length > 0 ? await computeRun(garden, bed, missing, segments, sky, key) : []
        for (const day of computed) cached.set(day.date, day)
        found.push(...days.map((day) => cached.get(day.date)!))
      }
      return found
    },
  }
}

interface Segments {
  readonly light: readonly BedSegment[]
  readonly irradiance: readonly BedSegment[]
}

function computationKey(garden: Garden, segments: Segments, sky: BedSky): DayComputation {
  const { latitudeDeg, longitudeDeg, elevationM, timeZone } = garden
  const nodes = [segments.light, segments.irradiance].map((ofQuantity) =>
    ofQuantity.map((s) => [s.node, s.fromMs, Number.isFinite(s.toMs) ? s.toMs : null]),
  )
  const basis = JSON.stringify([[latitudeDeg, longitudeDeg, elevationM, timeZone], nodes, sky.basis])
  return {
    version: DAY_RECORD_VERSION,
    options: 'carpet',
    basis: createHash('sha256').update(basis).digest('base64url').slice(0, 22),
  }
}

/** When the sun is up but stands behind the skyline of the placement that speaks at the day's middle. */
function behindSkyline(day: LocalDay, garden: Garden, { stretches }: BedSky): LostSpan[] {
  const middleMs = (day.startMs + day.endMs) / 2
  const stretch =
    stretches.find((s) => s.fromMs <= middleMs && s.toMs > middleMs) ??
    stretches.findLast((s) => s.fromMs <= middleMs) ??
    stretches[0]
  return stretch && hasSkyline(stretch.learned) ? lostSun(day, garden, skylineOf(stretch.learned)) : []
}

/** Tenths of a minute are finer than the screen and the readings. */
function carpetDayOf(day: LocalDay, sun: DaySun, lost: readonly LostSpan[]): CarpetDay {
  const minute = (timeMs: number): number => Math.round((timeMs - day.startMs) / (MINUTE_MS / 10)) / 10
  return {
    date: day.date,
    lengthMin: minute(day.endMs),
    sunriseMin: sun.sunriseMs === null ? null : minute(sun.sunriseMs),
    sunsetMin: sun.sunsetMs === null ? null : minute(sun.sunsetMs),
    startMin: sun.segments.map((s) => minute(s.fromMs)),
    state: sun.segments.map((s) => SUN_STATES.indexOf(s.state)),
    endMin: minute(sun.segments.at(-1)?.toMs ?? day.startMs),
    behindSkylineMin: lost.map((span) => [minute(span.fromMs), minute(span.toMs)]),
    sunHours: sun.sunHours,
    possibleSunHours: sun.possibleSunHours,
    sunCoverage: sun.coverage,
  }
}

/** Readings of nodes that a day's states rest on, and those that bear on their flags. */
const restsOn = ({ light, irradiance }: Segments, day: LocalDay): NodeSpan[] =>
  [...light, ...irradiance].flatMap((segment) =>
    segmentsWithin([segment], day.startMs - LIGHT_WINDOW_MS, day.endMs + LIGHT_WINDOW_MS).map((s) => ({
      node: s.node,
      fromMs: s.fromMs - LIGHT_FLAGS_REACH_MS,
      toMs: s.toMs + LIGHT_FLAGS_REACH_MS,
    })),
  )
