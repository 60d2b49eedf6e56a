/** When to sow a crop in this garden, where, and the year of weather that plans may rest on. */
import { z } from 'zod'
import { Plan, PlanBasis, PlanBeds, PlanWay, PlanWeather } from '../../../shared/api/plan.js'
import { findGardenCrop, type KnownCrop } from '../../core/crops/garden-crops.js'
import { WeatherFileError } from '../../garden/season-plan-port.js'
import type { Api, ApiDeps } from '../deps.js'
import { gardenChanged } from '../garden-changed.js'
import { InGarden, requireGarden } from '../known.js'
import { planOnWire } from '../plan-figures.js'
import { ApiProblem, invalidInput } from '../problems.js'
import { queryDate } from '../query.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS, NoContent } from '../replies.js'

const CropId = z.string().min(1).max(63)
const PlanQuery = z.strictObject({
  crop: CropId,
  basis: PlanBasis.optional(),
  from: queryDate.optional(),
})
const BedsQuery = z.strictObject({
  crop: CropId,
  basis: PlanBasis.optional(),
  way: PlanWay,
  sowOn: queryDate,
})

export function planRoutes(app: Api, deps: ApiDeps): void {
  const cropOf = async (garden: string, id: string): Promise<KnownCrop> => {
    const known = findGardenCrop(id, await deps.garden.listCrops(garden))
    if (known) return known
    throw invalidInput([{ field: 'crop', message: `no crop is called ${id}` }])
  }

  app.get(
    '/gardens/:garden/plan',
    {
      schema: {
        tags: ['plan'],
        summary: 'When to sow a crop: a year of weeks with their chances, and the good windows in it',
        description:
          'Without `basis` what the garden has measured counts, if it makes a year, else the monthly normals typed ' +
          'in, else the year’s file given. The year begins on `from`, or on the Monday of this week. `basis` null ' +
          'in the answer: there is nothing to plan by, and `words` say what to do. A score is for the order of ' +
          'weeks, no forecast of yields.',
        params: InGarden,
        querystring: PlanQuery,
        response: { 200: Plan, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { crop, basis = null, from = null } = request.query
      const garden = await requireGarden(deps, request.params.garden)
      const known = await cropOf(garden.id, crop)
      return planOnWire(known.crop, await deps.plans.plan(garden, known, basis, from), basis)
    },
  )

  app.get(
    '/gardens/:garden/plan/beds',
    {
      schema: {
        tags: ['plan'],
        summary: 'The beds for one sowing, the best first: sun while heads form, warmth, what grew there',
        params: InGarden,
        querystring: BedsQuery,
        response: { 200: PlanBeds, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { crop, basis = null, way, sowOn } = request.query
      const garden = await requireGarden(deps, request.params.garden)
      const known = await cropOf(garden.id, crop)
      const figures = await deps.plans.beds(garden, known, basis, way, sowOn)
      if (figures === null) {
        throw new ApiProblem('NOT_FOUND', `there is nothing to plan by in the garden ${garden.id} yet`)
      }
      return {
        crop,
        week: figures.week,
        beds: figures.beds.map((bed) => ({ ...bed, reasons: [...bed.reasons] })),
      }
    },
  )

  app.get(
    '/gardens/:garden/plan-weather',
    {
      schema: {
        tags: ['plan'],
        summary: 'The year of weather that was given to plan by; null where there is none',
        params: InGarden,
        response: { 200: z.object({ weather: PlanWeather.nullable() }), ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { id } = await requireGarden(deps, request.params.garden)
      return { weather: await deps.plans.weather(id) }
    },
  )

  app.delete(
    '/gardens/:garden/plan-weather',
    {
      schema: {
        tags: ['plan'],
        summary: 'Takes the year of weather back',
        params: InGarden,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { id } = await requireGarden(deps, request.params.garden)
      if (!(await deps.garden.deletePlanWeather(id))) {
        throw new ApiProblem('NOT_FOUND', `no year of weather was given for the garden ${id}`)
      }
      gardenChanged(deps, id)
      return reply.code(204).send(null)
    },
  )
}

/** A year of hours with a few more columns than are used. */
const MOST_FILE_BYTES = 2 * 1024 * 1024
const FileName = z.string().trim().min(1).max(120)

/** The one address that takes CSV; registered in a scope of its own. */
export function planWeatherRoutes(app: Api, deps: ApiDeps): void {
  app.addContentTypeParser(
    'text/csv',
    { parseAs: 'string', bodyLimit: MOST_FILE_BYTES },
    (_request, body, done) => done(null, body),
  )
  app.put(
    '/gardens/:garden/plan-weather',
    {
      bodyLimit: MOST_FILE_BYTES,
      schema: {
        tags: ['plan'],
        summary: 'Gives a year of weather to plan by: tidy CSV of days or hours, at most 2 MiB',
        description:
          '`#` comment lines, then a header: `date`, `tmin_c`, `tmax_c` and, if known, `tavg_c`, `soil_temp_c` (a ' +
          'line a day), or `time` (ISO 8601), `air_temp_c` and, if known, `soil_temp_c` (a line an hour). Empty ' +
          'cells were not measured. Of a longer file the newest whole year is kept.',
        params: InGarden,
        querystring: z.strictObject({ name: FileName }),
        consumes: ['text/csv'],
        body: z.string({ error: 'send the file as text/csv' }).meta({ type: 'string' }),
        response: { 200: PlanWeather, ...CHANGE_PROBLEMS },
      },
    },
    async (request) => {
      const garden = await requireGarden(deps, request.params.garden)
      try {
        const weather = await deps.plans.putWeather(garden, request.query.name, request.body)
        gardenChanged(deps, garden.id)
        return weather
      } catch (error) {
        if (!(error instanceof WeatherFileError)) throw error
        throw invalidInput([{ field: 'file', message: error.message }])
      }
    },
  )
}
