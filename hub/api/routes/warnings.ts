/** Warnings: what they say, and that the grower has seen them. */
import { z } from 'zod'
import { Warning } from '../../../shared/api/warnings.js'
import type { Api, ApiDeps } from '../deps.js'
import { warningOnWire } from '../figures.js'
import { InGarden, requireGarden, WithGivenId } from '../known.js'
import { ApiProblem } from '../problems.js'
import { wholeNumber } from '../query.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS } from '../replies.js'

const WarningsQuery = z.strictObject({
  state: z.enum(['open', 'all']).optional(),
  limit: wholeNumber(1, 1_000).optional(),
})

export function warningRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/warnings',
    {
      schema: {
        tags: ['warnings'],
        summary: 'Warnings, open ones only unless state=all; at most `limit` (usually 100)',
        params: InGarden,
        querystring: WarningsQuery,
        response: { 200: z.array(Warning), ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { id, timeZone } = await requireGarden(deps, request.params.garden)
      const { state = 'open', limit = 100 } = request.query
      const warnings =
        state === 'open'
          ? (await deps.garden.openWarnings(id)).slice(0, limit)
          : await deps.garden.listWarnings(id, limit)
      return warnings.map((warning) => warningOnWire(warning, timeZone))
    },
  )

  app.post(
    '/gardens/:garden/warnings/:id/seen',
    {
      schema: {
        tags: ['warnings'],
        summary: 'Marks a warning as seen; it stays until its cause is gone',
        params: WithGivenId,
        response: { 200: Warning, ...CHANGE_PROBLEMS },
      },
    },
    async (request) => {
      const { id: garden, timeZone } = await requireGarden(deps, request.params.garden)
      const stored = await deps.garden.markWarningSeen(garden, request.params.id, deps.now())
      if (!stored) {
        throw new ApiProblem(
          'UNKNOWN_WARNING',
          `there is no warning ${request.params.id} in the garden ${garden}`,
        )
      }
      const warning = warningOnWire(stored, timeZone)
      deps.live.publish(garden, { type: 'warning', warning })
      return warning
    },
  )
}
