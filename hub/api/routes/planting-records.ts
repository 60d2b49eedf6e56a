/** What growers say of their plantings: what they saw, and which warnings they do not want to hear. */
import { z } from 'zod'
import type { Planting } from '../../../shared/api/garden.js'
import { Observation, ObservationInput, PlantingReport } from '../../../shared/api/progress.js'
import { Mutes } from '../../../shared/api/warnings.js'
import { Id } from '../../../shared/ids.js'
import { localDate } from '../../../shared/local-time.js'
import type { Api, ApiDeps } from '../deps.js'
import { gardenChanged } from '../garden-changed.js'
import { requirePlanting, WithGivenId } from '../known.js'
import { ApiProblem, invalidInput } from '../problems.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS, NoContent } from '../replies.js'

const WithObservation = z.strictObject({
  garden: Id,
  id: z.string().min(1).max(100),
  observation: z.string().min(1).max(100),
})

export function plantingRecordRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/plantings/:id/progress',
    {
      schema: {
        tags: ['plantings'],
        summary: 'Degree days, stage, doses of heat and chill, and when its stages are to be expected',
        params: WithGivenId,
        response: { 200: PlantingReport, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { garden, planting } = await requirePlanting(deps, request.params.garden, request.params.id)
      return deps.measurements.report(garden.id, planting)
    },
  )

  app.get(
    '/gardens/:garden/plantings/:id/observations',
    {
      schema: {
        tags: ['plantings'],
        summary: 'What the grower saw of a planting, by date',
        params: WithGivenId,
        response: { 200: z.array(Observation), ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { garden, planting } = await requirePlanting(deps, request.params.garden, request.params.id)
      return deps.garden.listObservations(garden.id, planting.id)
    },
  )

  app.post(
    '/gardens/:garden/plantings/:id/observations',
    {
      schema: {
        tags: ['plantings'],
        summary: 'Says what was seen; later stages are set right by it',
        params: WithGivenId,
        body: ObservationInput,
        response: { 201: Observation, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { garden, planting } = await requirePlanting(deps, request.params.garden, request.params.id)
      checkSeen(request.body, planting, localDate(deps.now(), garden.timeZone))
      const stored = await deps.garden.addObservation(garden.id, planting.id, request.body)
      gardenChanged(deps, garden.id)
      return reply.code(201).send(stored)
    },
  )

  app.delete(
    '/gardens/:garden/plantings/:id/observations/:observation',
    {
      schema: {
        tags: ['plantings'],
        summary: 'Takes an observation back',
        params: WithObservation,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { garden, planting } = await requirePlanting(deps, request.params.garden, request.params.id)
      const { observation } = request.params
      if (!(await deps.garden.deleteObservation(garden.id, planting.id, observation))) {
        throw new ApiProblem('NOT_FOUND', `the planting ${planting.id} has no observation ${observation}`)
      }
      gardenChanged(deps, garden.id)
      return reply.code(204).send(null)
    },
  )

  app.get(
    '/gardens/:garden/plantings/:id/mutes',
    {
      schema: {
        tags: ['warnings'],
        summary: 'Kinds of warnings muted for a planting',
        params: WithGivenId,
        response: { 200: Mutes, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { garden, planting } = await requirePlanting(deps, request.params.garden, request.params.id)
      const all = await deps.garden.listMutes(garden.id)
      return { kinds: all.filter((mute) => mute.planting === planting.id).map((mute) => mute.kind) }
    },
  )

  app.put(
    '/gardens/:garden/plantings/:id/mutes',
    {
      schema: {
        tags: ['warnings'],
        summary: 'Mutes these kinds of warnings for a planting, and no others',
        params: WithGivenId,
        body: Mutes,
        response: { 200: Mutes, ...CHANGE_PROBLEMS },
      },
    },
    async (request) => {
      const { garden, planting } = await requirePlanting(deps, request.params.garden, request.params.id)
      const kinds = [...new Set(request.body.kinds)]
      await deps.garden.putMutes(garden.id, planting.id, kinds)
      gardenChanged(deps, garden.id)
      return { kinds }
    },
  )
}

/**
 * @param today  the garden's date
 * @throws ApiProblem INVALID_INPUT
 */
function checkSeen({ on }: ObservationInput, { sownOn, plantedOutOn }: Planting, today: string): void {
  const began = sownOn ?? plantedOutOn
  const message =
    on > today
      ? 'is still to come: say what you have seen'
      : began === null
        ? 'give the planting a date of sowing or planting out first'
        : on < began
          ? `is before it began on ${began}`
          : null
  if (message !== null) throw invalidInput([{ field: 'on', message }])
}
