/** A garden with beds, nodes, store and measurements on real databases in a temporary folder. */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createBedMeasurements } from '../../hub/garden/bed-measurements.js'
import type { BedMeasurements } from '../../hub/garden/measured.js'
import type { GardenRepository } from '../../hub/garden/port.js'
import { openSqliteGarden } from '../../hub/garden/sqlite-garden.js'
import type { Reading } from '../../hub/store/port.js'
import { openSqliteStore, type SqliteStore } from '../../hub/store/sqlite/open-sqlite-store.js'
import type { GardenInput } from '../../shared/api/garden.js'

export const COPENHAGEN: GardenInput = {
  name: 'Home',
  latitudeDeg: 55.7,
  longitudeDeg: 12.5,
  elevationM: 20,
  timeZone: 'Europe/Copenhagen',
}
export const HOUR_MS = 3_600_000
export const DAY_MS = 24 * HOUR_MS

export interface BedFixture {
  readonly dataDir: string
  readonly store: SqliteStore
  readonly garden: GardenRepository
  readonly measurements: BedMeasurements
  nowMs: number
  /** measurements that remember nothing of what these did, on the same databases: as after a restart */
  restarted(): BedMeasurements
  /** the same, on another door to the garden's data */
  restartedOn(garden: GardenRepository): BedMeasurements
  append(readings: readonly Reading[]): Promise<void>
  close(): Promise<void>
}

/** Garden `home` with beds `south` and `wall` and nodes `n1` and `n2`, not yet placed. */
export async function openBedFixture(nowMs: number): Promise<BedFixture> {
  const dataDir = await mkdtemp(join(tmpdir(), 'hearting-beds-'))
  const store = await openSqliteStore({ dataDir })
  const garden = await openSqliteGarden({ dataDir })
  await addGarden(garden, 'home')
  const restarted = (): BedMeasurements => createBedMeasurements({ store, garden, now: () => fixture.nowMs })
  const fixture: BedFixture = {
    dataDir,
    store,
    garden,
    nowMs,
    measurements: createBedMeasurements({ store, garden, now: () => fixture.nowMs }),
    restarted,
    restartedOn: (door) => createBedMeasurements({ store, garden: door, now: () => fixture.nowMs }),
    async append(readings) {
      await fixture.measurements.appendAndForget(readings, () => store.append(readings, fixture.nowMs))
    },
    async close() {
      await garden.close()
      await store.close()
      await rm(dataDir, { recursive: true })
    },
  }
  return fixture
}

export async function addGarden(garden: GardenRepository, id: string): Promise<void> {
  await garden.putGarden(id, COPENHAGEN)
  for (const bed of ['south', 'wall']) {
    await garden.putBed(id, bed, { name: bed, kind: 'raised', lengthM: 2, widthM: 1, depthM: 0.3 })
  }
  for (const node of ['n1', 'n2']) await garden.putNode(id, node, { name: node })
}

/** Readings of one node at even spacing, fromMs <= time < toMs. */
export function readingsEvery(
  spacingMs: number,
  fromMs: number,
  toMs: number,
  node: string,
  courses: Readonly<Record<string, (timeMs: number) => number>>,
  garden = 'home',
): Reading[] {
  const readings: Reading[] = []
  for (let timeMs = fromMs; timeMs < toMs; timeMs += spacingMs) {
    for (const [quantity, value] of Object.entries(courses)) {
      readings.push({ garden, node, quantity, timeMs, value: value(timeMs), flags: 0 })
    }
  }
  return readings
}
