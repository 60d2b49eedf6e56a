/** Usual temperatures of a garden's region, typed in by the grower: for projections and a young forecast. */
import { z } from 'zod'
import { TemperatureNormals } from '../../../shared/api/normals.js'
import type { Api, ApiDeps } from '../deps.js'
import { gardenChanged } from '../garden-changed.js'
import { InGarden, requireGarden } from '../known.js'
import { ApiProblem } from '../problems.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS, NoContent } from '../replies.js'

export function normalsRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/normals',
    {
      schema: {
        tags: ['gardens'],
        summary: 'Monthly means of the daily minimum and maximum; null where none were typed in',
        params: InGarden,
        response: { 200: z.object({ normals: TemperatureNormals.nullable() }), ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { id } = await requireGarden(deps, request.params.garden)
      return { normals: await deps.garden.getTemperatureNormals(id) }
    },
  )

  app.put(
    '/gardens/:garden/normals',
    {
      schema: {
        tags: ['gardens'],
        summary: 'Types in the region’s normals, °C, January first',
        params: InGarden,
        body: TemperatureNormals,
        response: { 200: TemperatureNormals, ...CHANGE_PROBLEMS },
      },
    },
    async (request) => {
      const { id } = await requireGarden(deps, request.params.garden)
      await deps.garden.putTemperatureNormals(id, request.body)
      gardenChanged(deps, id)
      return request.body
    },
  )

  app.delete(
    '/gardens/:garden/normals',
    {
      schema: {
        tags: ['gardens'],
        summary: 'Takes the normals back',
        params: InGarden,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { id } = await requireGarden(deps, request.params.garden)
      if (!(await deps.garden.deleteTemperatureNormals(id))) {
        throw new ApiProblem('NOT_FOUND', `no normals were typed in for the garden ${id}`)
      }
      gardenChanged(deps, id)
      return reply.code(204).send(null)
    },
  )
}
