/** What is told of plantings, and which warnings their growers do not want to hear. */
import { PlantingReport } from '../../../shared/api/progress.js'
import { Mutes } from '../../../shared/api/warnings.js'
import type { Api, ApiDeps } from '../deps.js'
import { gardenChanged } from '../garden-changed.js'
import { requirePlanting, WithGivenId } from '../known.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS } from '../replies.js'

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
