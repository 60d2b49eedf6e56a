/** What is to come in the beds, and forecasts from anyone's own source. */
import { z } from 'zod'
import { ForecastInput, GardenForecast } from '../../../shared/api/forecast.js'
import { Id } from '../../../shared/ids.js'
import { isoWithOffset } from '../../../shared/local-time.js'
import { receivedForecast } from '../../forecast/port.js'
import type { Api, ApiDeps } from '../deps.js'
import { bedForecastOnWire, publicStatusOnWire } from '../forecast-on-wire.js'
import { gardenChanged } from '../garden-changed.js'
import { InGarden, requireBed, requireGarden } from '../known.js'
import { invalidInput } from '../problems.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS } from '../replies.js'

const OfBed = z.strictObject({ bed: Id.optional() })

export function forecastRoutes(app: Api, deps: ApiDeps): void {
  const answer = async (id: string, bed?: string): Promise<GardenForecast> => {
    const { garden } =
      bed === undefined ? { garden: await requireGarden(deps, id) } : await requireBed(deps, id, bed)
    const beds = bed === undefined ? (await deps.garden.listBeds(id)).map((one) => one.id) : [bed]
    const [status, ahead] = await Promise.all([
      deps.forecasts.publicStatus(id),
      Promise.all(beds.map((one) => deps.forecasts.ahead(garden, one))),
    ])
    const nowMs = deps.now()
    return {
      now: isoWithOffset(nowMs, garden.timeZone),
      public: status && publicStatusOnWire(status, nowMs, garden.timeZone),
      beds: ahead.map((one) => bedForecastOnWire(one, garden.timeZone)),
    }
  }

  app.get(
    '/gardens/:garden/forecast',
    {
      schema: {
        tags: ['forecast'],
        summary: 'What is to come in the beds, or in one of them, and who says so',
        params: InGarden,
        querystring: OfBed,
        response: { 200: GardenForecast, ...COMMON_PROBLEMS },
      },
    },
    (request) => answer(request.params.garden, request.query.bed),
  )

  app.put(
    '/gardens/:garden/forecast',
    {
      schema: {
        tags: ['forecast'],
        summary: 'Gives the hub a forecast from your own source; it is corrected to each bed as days show',
        params: InGarden,
        body: ForecastInput,
        response: { 200: GardenForecast, ...CHANGE_PROBLEMS },
      },
    },
    async (request) => {
      const { id } = await requireGarden(deps, request.params.garden)
      const why = await deps.forecasts.take(id, receivedForecast(request.body, deps.now()))
      if (why !== null) throw invalidInput([{ field: 'points', message: `not taken: ${why}` }])
      gardenChanged(deps, id)
      return answer(id)
    },
  )
}
