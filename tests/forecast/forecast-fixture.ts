/** Forecasts on a real store and a real garden database, at a time that the test sets. */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createForecastService, type ForecastService } from '../../hub/forecast/forecast-service.js'
import type { Pauses } from '../../hub/forecast/public-poller.js'
import type { PublicSource } from '../../hub/forecast/public-source.js'
import { createBedMeasurements } from '../../hub/garden/bed-measurements.js'
import type { BedMeasurements } from '../../hub/garden/measured.js'
import type { GardenRepository } from '../../hub/garden/port.js'
import { openSqliteGarden } from '../../hub/garden/sqlite-garden.js'
import type { Reading } from '../../hub/store/port.js'
import { openSqliteStore } from '../../hub/store/sqlite/open-sqlite-store.js'
import type { Garden } from '../../shared/api/garden.js'

export const HOUR_MS = 3_600_000
export const DAY_MS = 24 * HOUR_MS
export const HOME: Garden = {
  id: 'home',
  name: 'Home',
  latitudeDeg: 55.7,
  longitudeDeg: 12.5,
  elevationM: 20,
  timeZone: 'Europe/Copenhagen',
}

export interface ForecastFixture {
  nowMs: number
  readonly garden: GardenRepository
  readonly measurements: BedMeasurements
  readonly forecasts: ForecastService
  /** the log's warnings */
  readonly warned: string[]
  store(readings: readonly Reading[]): Promise<void>
  /** A new service on the same data, as after a restart. */
  restart(): ForecastService
  close(): Promise<void>
}

/** A garden with the bed `south` in which the node `n1` stands since 1 April 2027. */
export async function openForecasts(
  nowMs: number,
  options: { source?: (now: () => number) => PublicSource; pauses?: Pauses } = {},
): Promise<ForecastFixture> {
  const dataDir = await mkdtemp(join(tmpdir(), 'hearting-forecast-'))
  const store = await openSqliteStore({ dataDir })
  const garden = await openSqliteGarden({ dataDir })
  const { id, ...place } = HOME
  await garden.putGarden(id, place)
  await garden.putBed(id, 'south', { name: 'South', kind: 'raised', lengthM: 2, widthM: 1, depthM: 0.3 })
  await garden.putNode(id, 'n1', { name: 'First' })
  const fromMs = Date.parse('2027-04-01T00:00:00Z')
  await garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs, toMs: null })
  const now = (): number => fixture.nowMs
  const measurements = createBedMeasurements({ store, garden, now })
  const warned: string[] = []
  const opened: ForecastService[] = []
  const open = (): ForecastService => {
    const service = createForecastService({
      garden,
      measurements,
      now,
      log: {
        info: () => {},
        warn: (about: object) => warned.push(String((about as { err?: Error }).err?.message)),
      },
      source: options.source?.(now) ?? null,
      ...(options.pauses ? { pauses: options.pauses } : {}),
    })
    opened.push(service)
    return service
  }
  const fixture: ForecastFixture = {
    nowMs,
    garden,
    measurements,
    warned,
    forecasts: open(),
    async store(readings) {
      await measurements.appendAndForget(readings, () => store.append(readings, fixture.nowMs))
      for (const service of opened) service.readingsStored({ readings, receivedAtMs: fixture.nowMs })
    },
    restart: open,
    async close() {
      for (const service of opened) await service.close()
      await garden.close()
      await store.close()
      await rm(dataDir, { recursive: true, force: true })
    },
  }
  return fixture
}

/** Air as the tests have it: a day's wave around a mean that changes from day to day, without chance. */
export function airTempC(timeMs: number): number {
  const days = timeMs / DAY_MS
  const wave = 6 * Math.sin(2 * Math.PI * (days - 0.4))
  return 16 + wave + 3 * Math.sin(days / 2.3) + 2 * Math.sin(days * 1.7)
}

export function airReadings(
  fromMs: number,
  toMs: number,
  valueAt: (timeMs: number) => number = airTempC,
  stepMs = HOUR_MS / 2,
): Reading[] {
  const readings: Reading[] = []
  for (let timeMs = fromMs; timeMs < toMs; timeMs += stepMs) {
    readings.push({
      garden: 'home',
      node: 'n1',
      quantity: 'air-temp',
      timeMs,
      value: Math.round(valueAt(timeMs) * 100) / 100,
      flags: 0,
    })
  }
  return readings
}
