/** Plantings: a crop in a bed. */
import { z } from 'zod'
import { Planting, PlantingInput } from '../../../shared/api/garden.js'
import { Id } from '../../../shared/ids.js'
import { daysBetween, localDate } from '../../../shared/local-time.js'
import { findGardenCrop, type OwnCrop } from '../../core/crops/garden-crops.js'
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
      const { id: garden, timeZone } = await requireGarden(deps, request.params.garden)
      check(request.body, localDate(deps.now(), timeZone), await deps.garden.listCrops(garden))
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
      check(request.body, localDate(deps.now(), garden.timeZone), await deps.garden.listCrops(garden.id))
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

const FIRST_DATE = '2000-01-01'
const LAST_DATE = '2199-12-31'
/** What the hub knows of crops is about plants of one year, or two. */
const LONGEST_DAYS = 1_100

/**
 * What the schema cannot say: the crop is one we know, the dates come in the order of a plant's life, and no slip
 * of the finger makes it last for centuries, whose every day would be looked at.
 *
 * @param today  the garden's date
 * @param owned  the grower's own crops
 * @throws ApiProblem INVALID_INPUT
 */
function check(input: PlantingInput, today: string, owned: readonly OwnCrop[]): void {
  const problems: FieldProblem[] = []
  const { sownOn, plantedOutOn, finishedOn } = input
  if (!findGardenCrop(input.crop, owned)) {
    problems.push({
      field: 'crop',
      message: `no crop is called ${input.crop}; see GET /api/v1/crops, or add it as your own`,
    })
  }
  for (const [field, date] of Object.entries({ sownOn, plantedOutOn, finishedOn })) {
    if (date !== null && (date < FIRST_DATE || date > LAST_DATE)) {
      problems.push({ field, message: `use a date from ${FIRST_DATE} to ${LAST_DATE}` })
    }
  }
  if (problems.length === 0) problems.push(...lifeProblems(input, today))
  if (problems.length > 0) throw invalidInput(problems)
}

function lifeProblems({ sownOn, plantedOutOn, finishedOn }: PlantingInput, today: string): FieldProblem[] {
  const began = sownOn ?? plantedOutOn
  if (began === null) return [{ field: 'sownOn', message: 'give the date it was sown, or planted out' }]
  if (plantedOutOn !== null && plantedOutOn < began) {
    return [{ field: 'plantedOutOn', message: 'must not be before it was sown' }]
  }
  if (finishedOn !== null && finishedOn < (plantedOutOn ?? began)) {
    return [{ field: 'finishedOn', message: 'must not be before it began' }]
  }
  if (daysBetween(began, finishedOn ?? today) > LONGEST_DAYS) {
    return [
      finishedOn === null
        ? {
            field: 'finishedOn',
            message: 'it began more than three years ago: give the date it was finished',
          }
        : { field: 'finishedOn', message: 'must be within three years of when it began' },
    ]
  }
  return []
}
