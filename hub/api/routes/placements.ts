/** Placements: which node stood in which bed, and when. A node moves; history stays right. */
import { z } from 'zod'
import { Placement, PlacementInput } from '../../../shared/api/garden.js'
import { Id } from '../../../shared/ids.js'
import type { StoredPlacement } from '../../garden/port.js'
import type { Api, ApiDeps } from '../deps.js'
import { placementOnWire } from '../figures.js'
import { gardenChanged } from '../garden-changed.js'
import { InGarden, requireGarden, WithGivenId } from '../known.js'
import { ApiProblem, invalidInput } from '../problems.js'
import { FIRST_MS, LAST_MS } from '../query.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS, NoContent } from '../replies.js'

const OfBed = z.strictObject({ bed: Id.optional() })

export function placementRoutes(app: Api, deps: ApiDeps): void {
  /** Days computed with the old whereabouts are no longer true. */
  const changed = async (garden: string, ...beds: string[]): Promise<void> => {
    for (const bed of new Set(beds)) await deps.measurements.forget(garden, bed)
    gardenChanged(deps, garden)
  }
  const find = async (garden: string, id: string): Promise<StoredPlacement> => {
    const found = (await deps.garden.listPlacements(garden)).find((placement) => placement.id === id)
    if (found) return found
    throw new ApiProblem('UNKNOWN_PLACEMENT', `there is no placement ${id} in the garden ${garden}`)
  }

  app.get(
    '/gardens/:garden/placements',
    {
      schema: {
        tags: ['placements'],
        summary: 'Placements, by bed and start',
        params: InGarden,
        querystring: OfBed,
        response: { 200: z.array(Placement), ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { id, timeZone } = await requireGarden(deps, request.params.garden)
      const placements = await deps.garden.listPlacements(id, request.query.bed)
      return placements.map((placement) => placementOnWire(placement, timeZone))
    },
  )

  app.get(
    '/gardens/:garden/placements/:id',
    {
      schema: {
        tags: ['placements'],
        summary: 'One placement: which node, which bed, when',
        params: WithGivenId,
        response: { 200: Placement, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { id, timeZone } = await requireGarden(deps, request.params.garden)
      return placementOnWire(await find(id, request.params.id), timeZone)
    },
  )

  app.post(
    '/gardens/:garden/placements',
    {
      schema: {
        tags: ['placements'],
        summary: 'Says that a node stands, or stood, in a bed',
        params: InGarden,
        body: PlacementInput,
        response: { 201: Placement, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { id: garden, timeZone } = await requireGarden(deps, request.params.garden)
      const stored = await deps.garden.addPlacement(garden, times(request.body))
      await changed(garden, stored.bed)
      return reply.code(201).send(placementOnWire(stored, timeZone))
    },
  )

  app.put(
    '/gardens/:garden/placements/:id',
    {
      schema: {
        tags: ['placements'],
        summary: 'Changes a placement, for example ends it',
        params: WithGivenId,
        body: PlacementInput,
        response: { 200: Placement, ...CHANGE_PROBLEMS },
      },
    },
    async (request) => {
      const { id: garden, timeZone } = await requireGarden(deps, request.params.garden)
      const before = await find(garden, request.params.id)
      const stored = await deps.garden.changePlacement(garden, { id: before.id, ...times(request.body) })
      if (!stored)
        throw new ApiProblem('UNKNOWN_PLACEMENT', `the placement ${before.id} has just been deleted`)
      await changed(garden, before.bed, stored.bed)
      return placementOnWire(stored, timeZone)
    },
  )

  app.delete(
    '/gardens/:garden/placements/:id',
    {
      schema: {
        tags: ['placements'],
        summary: 'Deletes a placement that never was; to say that a node moved, end it instead',
        params: WithGivenId,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { id: garden } = await requireGarden(deps, request.params.garden)
      const before = await find(garden, request.params.id)
      await deps.garden.deletePlacement(garden, before.id)
      await changed(garden, before.bed)
      return reply.code(204).send(null)
    },
  )
}

function times(input: PlacementInput): Omit<StoredPlacement, 'id'> {
  const fromMs = Date.parse(input.from)
  const toMs = input.to === null ? null : Date.parse(input.to)
  for (const [field, timeMs] of Object.entries({ from: fromMs, to: toMs })) {
    if (timeMs !== null && (timeMs < FIRST_MS || timeMs > LAST_MS)) {
      throw invalidInput([{ field, message: 'use a time between 1970 and 2200' }])
    }
  }
  if (toMs !== null && toMs <= fromMs) {
    throw invalidInput([{ field: 'to', message: 'must be later than `from`' }])
  }
  return { node: input.node, bed: input.bed, fromMs, toMs }
}
