/** What nodes sign in with: each has a user name and a password of its own, told once. */
import { z } from 'zod'
import { NewNodeCredential, NodeCredential } from '../../../shared/api/access.js'
import { Id } from '../../../shared/ids.js'
import type { Doors } from '../../doors/port.js'
import type { Api, ApiDeps, NodeGate } from '../deps.js'
import { InGarden } from '../known.js'
import { ApiProblem } from '../problems.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS, NoContent } from '../replies.js'

const InNode = z.strictObject({ garden: Id, node: Id })

export function nodeCredentialRoutes(app: Api, deps: ApiDeps): void {
  /** @throws ApiProblem DOORS_OPEN, BROKER_ELSEWHERE */
  const gate = (): NodeGate & { readonly doors: Doors } => {
    if (deps.doors === null) {
      throw new ApiProblem('DOORS_OPEN', 'this hub takes readings from every node on its machine')
    }
    if (deps.nodeGate === null) throw new ApiProblem('BROKER_ELSEWHERE', 'nodes sign in at the other broker')
    return { ...deps.nodeGate(), doors: deps.doors }
  }

  app.get(
    '/gardens/:garden/node-credentials',
    {
      config: { door: 'owner' },
      schema: {
        tags: ['nodes'],
        summary: 'Nodes that may publish; also before they have, and before the garden is set up',
        params: InGarden,
        response: { 200: z.array(NodeCredential), ...COMMON_PROBLEMS, 409: CHANGE_PROBLEMS[409] },
      },
    },
    (request): NodeCredential[] =>
      gate()
        .doors.nodeCredentials(request.params.garden)
        .map(({ node, createdAtMs }) => ({ node, madeAt: new Date(createdAtMs).toISOString() })),
  )

  app.post(
    '/gardens/:garden/nodes/:node/credential',
    {
      config: { door: 'owner' },
      schema: {
        tags: ['nodes'],
        summary: 'Makes what the node signs in with; the password is told this once',
        description: 'Takes the place of an earlier one: what is connected with that is cut off at once.',
        params: InNode,
        response: { 201: NewNodeCredential, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { garden, node } = request.params
      const { doors, port, isTls, isReachable, topic } = gate()
      const { username, password } = await doors.addNodeCredential(garden, node)
      return reply.code(201).send({
        node,
        username,
        password,
        mqttPort: port,
        isTls,
        isReachable,
        readingsTopic: topic('readings', garden, node),
        presenceTopic: topic('presence', garden, node),
        settingsTopic: topic('settings', garden, node),
      })
    },
  )

  app.delete(
    '/gardens/:garden/nodes/:node/credential',
    {
      config: { door: 'owner' },
      schema: {
        tags: ['nodes'],
        summary: 'Takes back what the node signs in with and cuts it off at once; its readings stay',
        params: InNode,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { garden, node } = request.params
      if (await gate().doors.revokeNodeCredential(garden, node)) return reply.code(204).send(null)
      throw new ApiProblem('UNKNOWN_CREDENTIAL', `the node ${node} of the garden ${garden} has no credential`)
    },
  )
}
