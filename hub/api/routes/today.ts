/** The Today page in one answer: each bed with its sun, its day so far, newest values and what grows there. */
import { Today } from '../../../shared/api/measurements.js'
import { isoWithOffset } from '../../../shared/local-time.js'
import type { Api, ApiDeps } from '../deps.js'
import { bedSun, instantOrNull, latestValue } from '../figures.js'
import { InGarden, requireGarden } from '../known.js'
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
      const { id, timeZone } = await requireGarden(deps, request.params.garden)
      const { nowMs, date, sunPath, beds } = await deps.today.today(id)
      return {
        now: isoWithOffset(nowMs, timeZone),
        date,
        sunrise: instantOrNull(sunPath.sunriseMs, timeZone),
        sunset: instantOrNull(sunPath.sunsetMs, timeZone),
        daylightHours: sunPath.daylightHours,
        beds: beds.map(({ bed, sun, day, latest, plantings }) => ({
          bed,
          sun: bedSun(sun, timeZone),
          day,
          latest: latest.map((reading) => latestValue(reading, timeZone)),
          plantings: [...plantings],
        })),
      }
    },
  )
}
