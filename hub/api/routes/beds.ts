/** Beds: where plants grow. */
import { z } from 'zod'
import { Bed, BedInput } from '../../../shared/api/garden.js'
import type { Api, ApiDeps } from '../deps.js'
import { gardenChanged } from '../garden-changed.js'
import { InBed, InGarden, requireBed, requireGarden } from '../known.js'
import { ApiProblem } from '../problems.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS, NoContent } from '../replies.js'

export function bedRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/beds',
    {
      schema: {
        tags: ['beds'],
        summary: 'All beds of a garden',
        params: InGarden,
        response: { 200: z.array(Bed), ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      await requireGarden(deps, request.params.garden)
      return deps.garden.listBeds(request.params.garden)
    },
  )

  app.get(
    '/gardens/:garden/beds/:bed',
    {
      schema: {
        tags: ['beds'],
        summary: 'One bed: its name, kind and size',
        params: InBed,
        response: { 200: Bed, ...COMMON_PROBLEMS },
      },
    },
    async (request) => (await requireBed(deps, request.params.garden, request.params.bed)).bed,
  )

  app.put(
    '/gardens/:garden/beds/:bed',
    {
      schema: {
        tags: ['beds'],
        summary: 'Makes a bed or changes it',
        params: InBed,
        body: BedInput,
        response: { 200: Bed, 201: Bed, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { garden, bed } = request.params
      await requireGarden(deps, garden)
      const existed = (await deps.garden.getBed(garden, bed)) !== null
      const stored = await deps.garden.putBed(garden, bed, request.body)
      gardenChanged(deps, garden)
      return reply.code(existed ? 200 : 201).send(stored)
    },
  )

  app.delete(
    '/gardens/:garden/beds/:bed',
    {
      schema: {
        tags: ['beds'],
        summary: 'Deletes a bed that no placement or planting refers to',
        params: InBed,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { garden, bed } = request.params
      await requireGarden(deps, garden)
      if (!(await deps.garden.deleteBed(garden, bed))) {
        throw new ApiProblem('UNKNOWN_BED', `there is no bed ${bed} in the garden ${garden}`)
      }
      await deps.measurements.forget(garden, bed)
      gardenChanged(deps, garden)
      return reply.code(204).send(null)
    },
  )
}
