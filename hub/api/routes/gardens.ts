/** Gardens: name, place and time zone. */
import { z } from 'zod'
import { Garden, GardenInput } from '../../../shared/api/garden.js'
import type { Api, ApiDeps } from '../deps.js'
import { gardenChanged } from '../garden-changed.js'
import { InGarden, requireGarden } from '../known.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS } from '../replies.js'

export function gardenRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens',
    {
      schema: {
        tags: ['gardens'],
        summary: 'The gardens that have been set up; none on a new hub',
        response: { 200: z.array(Garden), ...COMMON_PROBLEMS },
      },
    },
    () => deps.garden.listGardens(),
  )

  app.get(
    '/gardens/:garden',
    {
      schema: {
        tags: ['gardens'],
        summary: 'One garden: its name, place and time zone',
        params: InGarden,
        response: { 200: Garden, ...COMMON_PROBLEMS },
      },
    },
    (request) => requireGarden(deps, request.params.garden),
  )

  app.put(
    '/gardens/:garden',
    {
      schema: {
        tags: ['gardens'],
        summary: 'Sets a garden up, or changes its name, place or time zone',
        description: 'A change of place or time zone lets every computed day be computed again.',
        params: InGarden,
        body: GardenInput,
        response: { 200: Garden, 201: Garden, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { garden } = request.params
      const existed = (await deps.garden.getGarden(garden)) !== null
      const stored = await deps.garden.putGarden(garden, request.body)
      await deps.measurements.forget(garden)
      gardenChanged(deps, garden)
      return reply.code(existed ? 200 : 201).send(stored)
    },
  )
}
