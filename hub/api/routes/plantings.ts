/** Plantings: a crop in a bed. */
import { z } from 'zod'
import { Planting, PlantingRequest } from '../../../shared/api/garden.js'
import { Id } from '../../../shared/ids.js'
import type { Api, ApiDeps } from '../deps.js'
import { gardenChanged } from '../garden-changed.js'
import { InGarden, requireGarden, requirePlanting, WithGivenId } from '../known.js'
import { checkedPlanting } from '../planting-check.js'
import { ApiProblem } from '../problems.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS, NoContent } from '../replies.js'

const OfBed = z.strictObject({ bed: Id.optional() })
const WithJournal = z.strictObject({ withJournal: z.enum(['true', 'false']).optional() })

const ROOM =
  'Dates must come in the order of a plant’s life, and the bed must have room beside what stands there in the same ' +
  'weeks. What is only too tight is refused with a problem at `isTightOnPurpose` besides the one at its field; send ' +
  'that as true to have it all the same. It is not kept.'

export function plantingRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/plantings',
    {
      schema: {
        tags: ['plantings'],
        summary: 'Plantings of a garden or of one bed',
        params: InGarden,
        querystring: OfBed,
        response: { 200: z.array(Planting), ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { id } = await requireGarden(deps, request.params.garden)
      return deps.garden.listPlantings(id, request.query.bed)
    },
  )

  app.get(
    '/gardens/:garden/plantings/:id',
    {
      schema: {
        tags: ['plantings'],
        summary: 'One planting: what, where, how many, since when',
        params: WithGivenId,
        response: { 200: Planting, ...COMMON_PROBLEMS },
      },
    },
    async (request) => (await requirePlanting(deps, request.params.garden, request.params.id)).planting,
  )

  app.post(
    '/gardens/:garden/plantings',
    {
      schema: {
        tags: ['plantings'],
        summary: 'Says what was sown or planted in a bed, or is to be',
        description: ROOM,
        params: InGarden,
        body: PlantingRequest,
        response: { 201: Planting, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const garden = await requireGarden(deps, request.params.garden)
      const input = await checkedPlanting(deps, garden, request.body, null)
      const stored = await deps.garden.addPlanting(garden.id, input)
      gardenChanged(deps, garden.id)
      return reply.code(201).send(stored)
    },
  )

  app.put(
    '/gardens/:garden/plantings/:id',
    {
      schema: {
        tags: ['plantings'],
        summary: 'Changes a planting, for example finishes it',
        description: ROOM,
        params: WithGivenId,
        body: PlantingRequest,
        response: { 200: Planting, ...CHANGE_PROBLEMS },
      },
    },
    async (request) => {
      const { garden, planting } = await requirePlanting(deps, request.params.garden, request.params.id)
      const input = await checkedPlanting(deps, garden, request.body, planting)
      const stored = await deps.garden.changePlanting(garden.id, planting.id, input)
      if (!stored)
        throw new ApiProblem('UNKNOWN_PLANTING', `the planting ${planting.id} has just been deleted`)
      gardenChanged(deps, garden.id)
      return stored
    },
  )

  app.delete(
    '/gardens/:garden/plantings/:id',
    {
      schema: {
        tags: ['plantings'],
        summary: 'Deletes a planting that never was; to say that it is over, finish it instead',
        description:
          'Where the journal has entries about it, it is refused (409) unless they are to go with it.',
        params: WithGivenId,
        querystring: WithJournal,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { garden, planting } = await requirePlanting(deps, request.params.garden, request.params.id)
      const withJournal = request.query.withJournal === 'true'
      await deps.garden.deletePlanting(garden.id, planting.id, { withJournal, atMs: deps.now() })
      gardenChanged(deps, garden.id)
      return reply.code(204).send(null)
    },
  )
}
