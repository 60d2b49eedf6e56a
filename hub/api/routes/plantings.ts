/** Plantings: a crop in a bed. */
import { z } from 'zod'
import { Planting, PlantingInput } from '../../../shared/api/garden.js'
import { PlantingProgress } from '../../../shared/api/measurements.js'
import { Id } from '../../../shared/ids.js'
import { findCrop } from '../../core/crops/library.js'
import type { Api, ApiDeps } from '../deps.js'
import { gardenChanged } from '../garden-changed.js'
import { InGarden, requireGarden, requirePlanting, WithGivenId } from '../known.js'
import { ApiProblem, type FieldProblem, invalidInput } from '../problems.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS, NoContent } from '../replies.js'

const OfBed = z.strictObject({ bed: Id.optional() })

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

  app.get(
    '/gardens/:garden/plantings/:id/progress',
    {
      schema: {
        tags: ['plantings'],
        summary: 'Degree days so far, and the stage they mean',
        params: WithGivenId,
        response: { 200: PlantingProgress, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { garden, planting } = await requirePlanting(deps, request.params.garden, request.params.id)
      return deps.measurements.progress(garden.id, planting)
    },
  )

  app.post(
    '/gardens/:garden/plantings',
    {
      schema: {
        tags: ['plantings'],
        summary: 'Says what was sown or planted in a bed',
        params: InGarden,
        body: PlantingInput,
        response: { 201: Planting, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { id: garden } = await requireGarden(deps, request.params.garden)
      check(request.body)
      const stored = await deps.garden.addPlanting(garden, request.body)
      gardenChanged(deps, garden)
      return reply.code(201).send(stored)
    },
  )

  app.put(
    '/gardens/:garden/plantings/:id',
    {
      schema: {
        tags: ['plantings'],
        summary: 'Changes a planting, for example finishes it',
        params: WithGivenId,
        body: PlantingInput,
        response: { 200: Planting, ...CHANGE_PROBLEMS },
      },
    },
    async (request) => {
      const { garden, planting } = await requirePlanting(deps, request.params.garden, request.params.id)
      check(request.body)
      const stored = await deps.garden.changePlanting(garden.id, planting.id, request.body)
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
        params: WithGivenId,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { garden, planting } = await requirePlanting(deps, request.params.garden, request.params.id)
      await deps.garden.deletePlanting(garden.id, planting.id)
      gardenChanged(deps, garden.id)
      return reply.code(204).send(null)
    },
  )
}

/** What the schema cannot say: the crop is one we know, and the dates come in the order of a plant's life. */
function check(input: PlantingInput): void {
  const problems: FieldProblem[] = []
  const { sownOn, plantedOutOn, finishedOn } = input
  if (!findCrop(input.crop)) {
    problems.push({ field: 'crop', message: `no crop is called ${input.crop}; see GET /api/v1/crops` })
  }
  if (sownOn === null && plantedOutOn === null) {
    problems.push({ field: 'sownOn', message: 'give the date it was sown, or planted out' })
  }
  if (sownOn !== null && plantedOutOn !== null && plantedOutOn < sownOn) {
    problems.push({ field: 'plantedOutOn', message: 'must not be before it was sown' })
  }
  const began = plantedOutOn ?? sownOn
  if (finishedOn !== null && began !== null && finishedOn < began) {
    problems.push({ field: 'finishedOn', message: 'must not be before it began' })
  }
  if (problems.length > 0) throw invalidInput(problems)
}
