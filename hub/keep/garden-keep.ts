/** The grower's own data out of the parts of a hub and into them: implements port.ts. */

import { localDay } from '../../shared/local-time.js'
import type { BedMeasurements } from '../garden/measured.js'
import type { GardenRepository } from '../garden/port.js'
import { GardenError } from '../garden/port.js'
import type { CopyableStore } from '../store/stored-rows.js'
import { writeDaysCsv } from './days-csv.js'
import { writeGardenJson } from './garden-json.js'
import type { GardenKeep, KeepRange } from './port.js'
import { type Span, writeReadingsCsv } from './readings-csv.js'
import { type StoreReadings, takeTidyCsv } from './tidy-intake.js'

export interface KeepDeps {
  readonly garden: GardenRepository
  readonly store: CopyableStore
  readonly measurements: BedMeasurements
  /** stores readings and tells whoever follows them */
  readonly storeReadings: StoreReadings
  /** UTC ms */
  readonly now: () => number
}

export function createGardenKeep(deps: KeepDeps): GardenKeep {
  const { garden: repository, store } = deps
  return {
    gardenJson: (garden, withDelivery = true) => writeGardenJson(repository, garden, withDelivery),
    async *readingsCsv(garden, range = {}) {
      yield* writeReadingsCsv(store, garden, await spansOf(repository, garden, range))
    },
    daysCsv: (garden, range = {}) => writeDaysCsv(deps, garden, range),
    takeTidy: (garden, node, file) => takeTidyCsv(deps, garden, node, file),
  }
}

/** Which times of each node a range means. @throws GardenError UNKNOWN_GARDEN */
async function spansOf(
  repository: GardenRepository,
  gardenId: string,
  { from, to, bed }: KeepRange,
): Promise<(node: string) => Span[]> {
  const garden = await repository.getGarden(gardenId)
  if (!garden) throw new GardenError('UNKNOWN_GARDEN', `There is no garden "${gardenId}".`)
  const span: Span = {
    fromMs: from === undefined ? Number.NEGATIVE_INFINITY : localDay(from, garden.timeZone).startMs,
    toMs: to === undefined ? Number.POSITIVE_INFINITY : localDay(to, garden.timeZone).endMs,
  }
  if (bed === undefined) return () => [span]
  const placements = await repository.listPlacements(gardenId, bed)
  // a node is in one bed at a time: its placements never overlap
  return (node) =>
    placements
      .filter((placement) => placement.node === node)
      .map((placement) => ({
        fromMs: Math.max(placement.fromMs, span.fromMs),
        toMs: Math.min(placement.toMs ?? Number.POSITIVE_INFINITY, span.toMs),
      }))
      .filter((part) => part.fromMs < part.toMs)
      .sort((a, b) => a.fromMs - b.fromMs)
}
