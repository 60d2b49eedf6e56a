/** Nodes: what they send, what was refused, and the name the grower gives them. */
import { z } from 'zod'
import { Node, NodeInput } from '../../../shared/api/garden.js'
import { NodeStatus, Refusals } from '../../../shared/api/measurements.js'
import { Id } from '../../../shared/ids.js'
import type { Api, ApiDeps } from '../deps.js'
import { gardenChanged } from '../garden-changed.js'
import { InGarden, requireGarden } from '../known.js'
import { nodeStatuses, strayPacks } from '../node-status.js'
import { ApiProblem } from '../problems.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS, NoContent } from '../replies.js'

const InNode = z.strictObject({ garden: Id, node: Id })

export function nodeRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/nodes',
    {
      schema: {
        tags: ['nodes'],
        summary: 'Every node that was named, placed or heard of; also before the garden is set up',
        params: InGarden,
        response: { 200: z.array(NodeStatus), ...COMMON_PROBLEMS },
      },
    },
    (request) => nodeStatuses(deps, request.params.garden),
  )

  app.get(
    '/gardens/:garden/nodes/:node',
    {
      schema: {
        tags: ['nodes'],
        summary: 'One node, with the packs that were refused',
        params: InNode,
        response: { 200: NodeStatus, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { garden, node } = request.params
      const status = (await nodeStatuses(deps, garden)).find(({ id }) => id === node)
      if (status) return status
      throw new ApiProblem('UNKNOWN_NODE', `nothing has been heard of a node ${node} in the garden ${garden}`)
    },
  )

  app.get(
    '/gardens/:garden/stray-packs',
    {
      schema: {
        tags: ['nodes'],
        summary: 'Packs that were refused because their topic named no node: a mistyped topic shows here',
        params: InGarden,
        response: { 200: Refusals, ...COMMON_PROBLEMS },
      },
    },
    (request) => strayPacks(deps, request.params.garden),
  )

  app.put(
    '/gardens/:garden/nodes/:node',
    {
      schema: {
        tags: ['nodes'],
        summary: 'Names a node',
        params: InNode,
        body: NodeInput,
        response: { 200: Node, 201: Node, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { garden, node } = request.params
      await requireGarden(deps, garden)
      const existed = (await deps.garden.getNode(garden, node)) !== null
      const stored = await deps.garden.putNode(garden, node, request.body)
      gardenChanged(deps, garden)
      return reply.code(existed ? 200 : 201).send(stored)
    },
  )

  app.delete(
    '/gardens/:garden/nodes/:node',
    {
      schema: {
        tags: ['nodes'],
        summary: 'Forgets the name of a node that no placement refers to; its readings stay',
        params: InNode,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { garden, node } = request.params
      await requireGarden(deps, garden)
      if (!(await deps.garden.deleteNode(garden, node))) {
        throw new ApiProblem('UNKNOWN_NODE', `no node ${node} has been named in the garden ${garden}`)
      }
      gardenChanged(deps, garden)
      return reply.code(204).send(null)
    },
  )
}
