/** How a node reaches its broker: what is typed into it besides its password, and who was turned away meanwhile. */
import { z } from 'zod'
import { NodeConnection } from '../../../shared/api/access.js'
import { Id } from '../../../shared/ids.js'
import type { Api, ApiDeps } from '../deps.js'
import { ApiProblem } from '../problems.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS } from '../replies.js'

const iso = (atMs: number): string => new Date(atMs).toISOString()
const NOBODY_REFUSED = { passwordMadeAt: null, wrongPasswords: null, unknownUser: null }

export function nodeConnectionRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/nodes/:node/connection',
    {
      config: { door: 'owner' },
      schema: {
        tags: ['nodes'],
        summary: 'Host, port and topic for a node, and logins under its name that were turned away',
        description: 'Also before the node has published, and before the garden is set up. Holds no secret.',
        params: z.strictObject({ garden: Id, node: Id }),
        response: { 200: NodeConnection, ...COMMON_PROBLEMS, 409: CHANGE_PROBLEMS[409] },
      },
    },
    (request): NodeConnection => {
      const { garden, node } = request.params
      const { doors, nodeGate, otherBroker } = deps
      if (nodeGate === null) {
        if (otherBroker === undefined) {
          throw new ApiProblem(
            'BROKER_ELSEWHERE',
            'nodes publish to another broker, which the hub does not know',
          )
        }
        const { host, port: mqttPort, isTls, topic } = otherBroker
        const readingsTopic = topic('readings', garden, node)
        const whereabouts = { node, host, mqttPort, isTls, isReachable: true, readingsTopic }
        return { ...whereabouts, password: 'elsewhere', ...NOBODY_REFUSED }
      }
      const { port: mqttPort, isTls, isReachable, topic } = nodeGate()
      const readingsTopic = topic('readings', garden, node)
      const whereabouts = { node, host: null, mqttPort, isTls, isReachable, readingsTopic }
      if (doors === null) return { ...whereabouts, password: 'none', ...NOBODY_REFUSED }
      const credential = doors.nodeCredentials(garden).find((one) => one.node === node)
      const { wrongPassword, unknownUser } = doors.refusedLogins(garden, node)
      return {
        ...whereabouts,
        password: 'own',
        passwordMadeAt: credential === undefined ? null : iso(credential.createdAtMs),
        wrongPasswords: wrongPassword && {
          total: wrongPassword.total,
          latestAt: iso(wrongPassword.latestMs),
        },
        unknownUser: unknownUser && { username: unknownUser.username, latestAt: iso(unknownUser.latestMs) },
      }
    },
  )
}
