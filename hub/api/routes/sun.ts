/** The sun of one bed on one day, as segments of sun state. */
import { z } from 'zod'
import { BedSun } from '../../../shared/api/measurements.js'
import { localDate } from '../../../shared/local-time.js'
import type { Api, ApiDeps } from '../deps.js'
import { bedSun } from '../figures.js'
import { InBed, requireBed } from '../known.js'
import { queryDate } from '../query.js'
import { COMMON_PROBLEMS } from '../replies.js'

const SunQuery = z.strictObject({ date: queryDate.optional() })

export function sunRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/beds/:bed/sun',
    {
      schema: {
        tags: ['figures'],
        summary: 'Sun, cloud, shade and night of one day (today when no date is given)',
        params: InBed,
        querystring: SunQuery,
        response: { 200: BedSun, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { garden: gardenId, bed } = request.params
      const { garden } = await requireBed(deps, gardenId, bed)
      const date = request.query.date ?? localDate(deps.now(), garden.timeZone)
      return bedSun(await deps.measurements.sun(gardenId, bed, date), garden.timeZone)
    },
  )
}
