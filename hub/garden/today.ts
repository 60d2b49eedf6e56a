/**
 * All beds of a garden as they are today, kept ready: the page that is open all day asks for it after every
 * reading. A bed is computed again only when a node that stands in it has sent something, when the garden
 * changed, or when the present has moved on.
 */
import type { Garden, Planting } from '../../shared/api/garden.js'
import type { BedToday } from '../../shared/api/measurements.js'
import { type LocalDay, localDate, localDay } from '../../shared/local-time.js'
import { standsOn } from '../core/crops/standing.js'
import { NO_READINGS } from '../core/readings.js'
import { daySun } from '../core/sun/day-sun.js'
import type { BedFigures, BedMeasurements, TodayFigures } from './measured.js'
import { GardenError, type GardenRepository, type StoredPlacement } from './port.js'
import { createRunningBeds } from './running-beds.js'

/** The ribbon moves on by a minute, and so do "still possible" hours. */
const FRESH_MS = 60_000
/** Stages take days. */
const STAGE_FRESH_MS = 10 * 60_000

interface Kept<T> {
  readonly atMs: number
  readonly date: string
  /** state of the garden's news when it was computed */
  readonly news: number
  readonly value: Promise<T>
}

/** What has happened in a garden since the hub started, numbered. */
interface News {
  readonly byNode: Map<string, number>
  garden: number
}

export function createTodayFigures(deps: {
  readonly garden: GardenRepository
  readonly measurements: BedMeasurements
  readonly now: () => number
}): TodayFigures {
  const { garden: repository, measurements, now } = deps
  const running = createRunningBeds({ garden: repository, measurements })
  let newsNumber = 0
  const newsOf = new Map<string, News>()
  const beds = new Map<string, Kept<BedFigures>>()
  const stages = new Map<string, Kept<Stage>>()

  const news = (garden: string): News => {
    const known = newsOf.get(garden) ?? { byNode: new Map<string, number>(), garden: 0 }
    newsOf.set(garden, known)
    return known
  }

  /** The kept value, or a new one where it is too old or older than the latest news of it. */
  const keep = <T>(
    kept: Map<string, Kept<T>>,
    key: string,
    date: string,
    freshMs: number,
    latestNews: number,
    compute: () => Promise<T>,
  ): Promise<T> => {
    const nowMs = now()
    const known = kept.get(key)
    const isGood =
      known && known.date === date && known.news >= latestNews && Math.abs(nowMs - known.atMs) < freshMs
    if (isGood) return known.value
    const value = compute()
    const entry: Kept<T> = { atMs: nowMs, date, news: newsNumber, value }
    kept.set(key, entry)
    // a failure is told to who asked, and not kept for the next
    value.catch(() => {
      if (kept.get(key) === entry) kept.delete(key)
    })
    return value
  }

  const standing = async (garden: Garden, date: string, planting: Planting): Promise<Stage> => {
    const { cropName, stage, stageName } = await keep(
      stages,
      `${garden.id}/${planting.id}`,
      date,
      STAGE_FRESH_MS,
      news(garden.id).garden,
      async () => {
        return stageOnPage(planting, await measurements.progress(garden.id, planting))
      },
    )
    return stageOnPage(planting, { cropName, stage, stageName })
  }

  const bedFigures = async (
    garden: Garden,
    bed: string,
    today: LocalDay,
    plantings: readonly Planting[],
  ): Promise<BedFigures> => {
    const [{ sun, day }, latest, stagesOfBed] = await Promise.all([
      running.figures(garden, bed, today, now()),
      measurements.latest(garden.id, bed),
      Promise.all(plantings.map((planting) => standing(garden, today.date, planting))),
    ])
    return { bed, sun, day, latest, plantings: stagesOfBed }
  }

  return {
    async today(id) {
      const garden = await repository.getGarden(id)
      if (!garden) throw new GardenError('UNKNOWN_GARDEN', `There is no garden "${id}".`)
      const nowMs = now()
      const date = localDate(nowMs, garden.timeZone)
      const day = localDay(date, garden.timeZone)
      const [allBeds, plantings, placements] = await Promise.all([
        repository.listBeds(id),
        repository.listPlantings(id),
        repository.listPlacements(id),
      ])
      const figures = allBeds.map((bed) => {
        const { byNode, garden: gardenNews } = news(id)
        const latestNews = nodesOf(placements, bed.id, day.startMs, nowMs)
          .map((node) => byNode.get(node) ?? 0)
          .reduce((a, b) => Math.max(a, b), gardenNews)
        return keep(beds, `${id}/${bed.id}`, date, FRESH_MS, latestNews, () =>
          bedFigures(
            garden,
            bed.id,
            day,
            plantings.filter((p) => p.bed === bed.id && standsOn(p, date)),
          ),
        )
      })
      return {
        garden,
        nowMs,
        date,
        sunPath: daySun(day, { light: NO_READINGS, irradiance: NO_READINGS }, garden, nowMs),
        beds: await Promise.all(figures),
      }
    },

    readingsStored(readings) {
      newsNumber++
      running.readingsStored(readings)
      for (const { garden, node } of readings) news(garden).byNode.set(node, newsNumber)
    },

    gardenChanged(garden) {
      newsNumber++
      running.gardenChanged(garden)
      news(garden).garden = newsNumber
    },
  }
}

type Stage = BedToday['plantings'][number]

function stageOnPage(
  { id, crop, variety, plants }: Planting,
  { cropName, stage, stageName }: Pick<Stage, 'cropName' | 'stage' | 'stageName'>,
): Stage {
  return { id, crop, cropName, variety, plants, stage, stageName }
}

/** Nodes whose readings of today can concern the bed. */
function nodesOf(
  placements: readonly StoredPlacement[],
  bed: string,
  fromMs: number,
  toMs: number,
): string[] {
  return placements
    .filter((p) => p.bed === bed && p.fromMs <= toMs && (p.toMs === null || p.toMs > fromMs))
    .map((p) => p.node)
}
