/**
 * Readings just stored, told to the pages that follow the garden: the newest value of each quantity, gathered for
 * a moment, so that a backlog of thousands is one event and not thousands.
 */
import type { LiveNews } from './api/deps.js'
import type { GardenRepository, StoredPlacement } from './garden/port.js'
import type { StoredReadings } from './ingest/stored-readings.js'
import type { Reading } from './store/port.js'

const GATHER_MS = 300

export interface ReadingNews {
  add(stored: StoredReadings): void
  /** Tells what is still gathered, and no more after that. */
  close(): Promise<void>
}

/**
 * @param onFailure  told when the whereabouts of a node cannot be looked up; that event is then not told
 */
export function createReadingNews(
  garden: Pick<GardenRepository, 'listPlacements'>,
  live: LiveNews,
  onFailure: (error: unknown) => void,
): ReadingNews {
  // newest reading by quantity, by node, by garden
  let gathered = new Map<string, Map<string, Map<string, Reading>>>()
  let timer: NodeJS.Timeout | null = null
  let telling: Promise<void> = Promise.resolve()
  let isClosed = false

  const tell = async (): Promise<void> => {
    timer = null
    const told = gathered
    gathered = new Map()
    for (const [gardenId, nodes] of told) {
      try {
        const placements = await garden.listPlacements(gardenId)
        for (const [node, newest] of nodes)
          publishNode(live, gardenId, node, [...newest.values()], placements)
      } catch (error) {
        onFailure(error)
      }
    }
  }

  return {
    add({ readings }) {
      if (isClosed) return
      for (const reading of readings) {
        const nodes = entry(gathered, reading.garden, () => new Map<string, Map<string, Reading>>())
        const newest = entry(nodes, reading.node, () => new Map<string, Reading>())
        const known = newest.get(reading.quantity)
        if (!known || known.timeMs < reading.timeMs) newest.set(reading.quantity, reading)
      }
      timer ??= setTimeout(() => {
        telling = telling.then(tell)
      }, GATHER_MS)
    },
    async close() {
      isClosed = true
      if (timer !== null) {
        clearTimeout(timer)
        telling = telling.then(tell)
      }
      await telling
    },
  }
}

function publishNode(
  live: LiveNews,
  garden: string,
  node: string,
  newest: readonly Reading[],
  placements: readonly StoredPlacement[],
): void {
  // one event per bed: readings of a backlog may be from where the node stood before
  const byBed = new Map<string | null, Reading[]>()
  for (const reading of newest) {
    entry(byBed, bedAt(placements, node, reading.timeMs), () => []).push(reading)
  }
  for (const [bed, readings] of byBed) {
    live.publish(garden, {
      type: 'readings',
      node,
      bed,
      values: readings.map(({ quantity, timeMs, value, flags }) => ({
        quantity,
        time: timeMs / 1000,
        value,
        flags,
      })),
    })
  }
}

const bedAt = (placements: readonly StoredPlacement[], node: string, atMs: number): string | null =>
  placements.find(
    (placement) =>
      placement.node === node &&
      placement.fromMs <= atMs &&
      (placement.toMs === null || atMs < placement.toMs),
  )?.bed ?? null

function entry<K, V>(map: Map<K, V>, key: K, make: () => V): V {
  const known = map.get(key)
  if (known !== undefined) return known
  const made = make()
  map.set(key, made)
  return made
}
