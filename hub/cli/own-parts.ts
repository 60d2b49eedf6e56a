/** The parts of a hub without the hub: its data folder claimed, garden and store opened, for commands that work on them. */
import type { Config } from '../config.js'
import { createBedMeasurements } from '../garden/bed-measurements.js'
import type { BedMeasurements } from '../garden/measured.js'
import { type GardenDatabase, openSqliteGarden } from '../garden/sqlite-garden.js'
import { createGardenKeep } from '../keep/garden-keep.js'
import type { GardenKeep } from '../keep/port.js'
import { readStoreSettings } from '../service-settings.js'
import { claimDataFolder, DataFolderError } from '../sqlite/data-folder.js'
import { openStore } from '../store/open-store.js'
import type { CopyableStore } from '../store/stored-rows.js'

export interface OwnParts {
  readonly dir: string
  readonly garden: GardenDatabase
  readonly store: CopyableStore
  readonly measurements: BedMeasurements
  readonly keep: GardenKeep
  close(): Promise<void>
}

/**
 * @returns null: a hub runs on the data folder, and its data is its own
 * @throws ConfigError, DataFolderError, GardenError, StoreError
 */
export async function openOwnParts(config: Config, now: () => number = Date.now): Promise<OwnParts | null> {
  let claim: ReturnType<typeof claimDataFolder>
  try {
    claim = claimDataFolder(config.dataDir)
  } catch (error) {
    if (error instanceof DataFolderError && error.code === 'IN_USE') return null
    throw error
  }
  const closers: (() => Promise<void> | void)[] = [() => claim.release()]
  const close = async (): Promise<void> => {
    for (let closer = closers.pop(); closer; closer = closers.pop()) await closer()
  }
  try {
    const garden = await openSqliteGarden({ dataDir: claim.dir })
    closers.push(() => garden.close())
    const { store } = await openStore({ ...readStoreSettings(config), dataDir: claim.dir })
    closers.push(() => store.close())
    const measurements = createBedMeasurements({ store, garden, now })
    const keep = createGardenKeep({
      garden,
      store,
      measurements,
      now,
      storeReadings: (readings, receivedAtMs) =>
        measurements.appendAndForget(readings, () => store.append(readings, receivedAtMs)),
    })
    return { dir: claim.dir, garden, store, measurements, keep, close }
  } catch (error) {
    await close()
    throw error
  }
}
