/** The Today page in one answer: each bed with its sun, its day so far, newest values and what grows there. */
import type { Garden, Planting } from '../../../shared/api/garden.js'
import { type BedToday, type DayRecord, Today } from '../../../shared/api/measurements.js'
import { isoWithOffset, localDate, localDay } from '../../../shared/local-time.js'
import { NO_READINGS } from '../../core/readings.js'
import { daySun } from '../../core/sun/day-sun.js'
import type { Api, ApiDeps } from '../deps.js'
import { bedSun, instantOrNull, latestValue } from '../figures.js'
import { InGarden, requireGarden } from '../known.js'
import { plantingStage, standsOn } from '../planting-progress.js'
import { COMMON_PROBLEMS } from '../replies.js'

export function todayRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/today',
    {
      schema: {
        tags: ['figures'],
        summary: 'Every bed today, in one answer',
        params: InGarden,
        response: { 200: Today, ...COMMON_PROBLEMS },
      },
    },
    async (request): Promise<Today> => {
      const garden = await requireGarden(deps, request.params.garden)
      const nowMs = deps.now()
      const date = localDate(nowMs, garden.timeZone)
      const [beds, plantings] = await Promise.all([
        deps.garden.listBeds(garden.id),
        deps.garden.listPlantings(garden.id),
      ])
      const standing = plantings.filter((planting) => standsOn(planting, date))
      // no readings: only the sun's path over the garden is asked for
      const path = daySun(
        localDay(date, garden.timeZone),
        { light: NO_READINGS, irradiance: NO_READINGS },
        garden,
        nowMs,
      )
      return {
        now: isoWithOffset(nowMs, garden.timeZone),
        date,
        sunrise: instantOrNull(path.sunriseMs, garden.timeZone),
        sunset: instantOrNull(path.sunsetMs, garden.timeZone),
        daylightHours: path.daylightHours,
        beds: await Promise.all(
          beds.map(({ id }) =>
            bedToday(
              deps,
              garden,
              id,
              date,
              standing.filter(({ bed }) => bed === id),
            ),
          ),
        ),
      }
    },
  )
}

async function bedToday(
  deps: ApiDeps,
  garden: Garden,
  bed: string,
  date: string,
  standing: readonly Planting[],
): Promise<BedToday> {
  const [sun, days, latest, plantings] = await Promise.all([
    deps.measurements.sun(garden.id, bed, date),
    deps.measurements.days(garden.id, bed, date, date),
    deps.measurements.latest(garden.id, bed),
    Promise.all(standing.map((planting) => standingPlanting(deps, garden, planting))),
  ])
  return {
    bed,
    sun: bedSun(sun, garden.timeZone),
    day: onlyRecord(days),
    latest: latest.map((reading) => latestValue(reading, garden.timeZone)),
    plantings,
  }
}

function onlyRecord(days: readonly DayRecord[]): DayRecord {
  const [day] = days
  if (!day) throw new Error('a day was asked for and none was given')
  return day
}

async function standingPlanting(
  deps: ApiDeps,
  garden: Garden,
  planting: Planting,
): Promise<BedToday['plantings'][number]> {
  const { cropName, stage, stageName } = await plantingStage(deps, garden, planting)
  const { id, crop, variety, plants } = planting
  return { id, crop, cropName, variety, plants, stage, stageName }
}
