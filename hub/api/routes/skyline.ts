/** What stands around a bed: learned from its light, drawn by the grower. And the usual clouds, as a table has them. */
import { z } from 'zod'
import { BedSkyline, ClearNormals, DrawnSkylineInput, type SkylineFence } from '../../../shared/api/sun.js'
import type { Api, ApiDeps } from '../deps.js'
import { gardenChanged } from '../garden-changed.js'
import { InBed, InGarden, requireBed, requireGarden } from '../known.js'
import { ApiProblem, type FieldProblem, invalidInput } from '../problems.js'
import { queryDate } from '../query.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS, NoContent } from '../replies.js'
import { bedSkyline } from '../sun-figures.js'

const SkylineQuery = z.strictObject({ date: queryDate.optional() })

export function skylineRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/beds/:bed/skyline',
    {
      schema: {
        tags: ['sun'],
        summary: 'What stands around a bed, by azimuth, and what its light sensor is off by',
        description:
          'Learned from the bed’s own light (and from the moments at which other beds of the garden have sun), ' +
          'together with what the grower drew. With a date: what that day is judged with. What a month is judged ' +
          'with is learned from the light of the month before, that month and the first week of the next.',
        params: InBed,
        querystring: SkylineQuery,
        response: { 200: BedSkyline, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { garden: gardenId, bed } = request.params
      const { garden } = await requireBed(deps, gardenId, bed)
      return bedSkyline(bed, await deps.skies.skyline(gardenId, bed, request.query.date), garden.timeZone)
    },
  )

  app.put(
    '/gardens/:garden/beds/:bed/skyline',
    {
      schema: {
        tags: ['sun'],
        summary: 'Draws a bed’s skyline by hand',
        description:
          'Corner points (azimuth and height as seen from the bed) and straight fences (height, distance, ' +
          'direction of the nearest point, and where the ends are seen). The sun corrects the drawing where it ' +
          'shows otherwise. Replaces what was drawn before; the days of this bed are judged anew.',
        params: InBed,
        body: DrawnSkylineInput,
        response: { 200: BedSkyline, ...CHANGE_PROBLEMS },
      },
    },
    async (request) => {
      const { garden: gardenId, bed } = request.params
      const { garden } = await requireBed(deps, gardenId, bed)
      checkDrawing(request.body)
      await deps.garden.putDrawnSkyline(gardenId, bed, request.body)
      gardenChanged(deps, gardenId)
      return bedSkyline(bed, await deps.skies.skyline(gardenId, bed), garden.timeZone)
    },
  )

  app.delete(
    '/gardens/:garden/beds/:bed/skyline',
    {
      schema: {
        tags: ['sun'],
        summary: 'Forgets the hand-drawn skyline; what the sun has shown stays',
        params: InBed,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { garden, bed } = request.params
      await requireBed(deps, garden, bed)
      if (!(await deps.garden.deleteDrawnSkyline(garden, bed))) {
        throw new ApiProblem('NOT_FOUND', `no skyline has been drawn for the bed ${bed}`)
      }
      gardenChanged(deps, garden)
      return reply.code(204).send(null)
    },
  )

  app.get(
    '/gardens/:garden/clear-normals',
    {
      schema: {
        tags: ['sun'],
        summary: 'Usual sunshine by month, as the grower entered it',
        description: 'Sunshine relative to possible sunshine, January first; twelve nulls until entered.',
        params: InGarden,
        response: { 200: ClearNormals, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      await requireGarden(deps, request.params.garden)
      return (await deps.garden.getClearNormals(request.params.garden)) ?? NO_NORMALS
    },
  )

  app.put(
    '/gardens/:garden/clear-normals',
    {
      schema: {
        tags: ['sun'],
        summary: 'Enters usual sunshine by month, from a climate table',
        description:
          'Expected sun hours rest on it until enough days have been measured here; then both count together.',
        params: InGarden,
        body: ClearNormals,
        response: { 200: ClearNormals, ...CHANGE_PROBLEMS },
      },
    },
    async (request) => {
      const { garden } = request.params
      await requireGarden(deps, garden)
      await deps.garden.putClearNormals(garden, request.body)
      gardenChanged(deps, garden)
      return request.body
    },
  )

  app.delete(
    '/gardens/:garden/clear-normals',
    {
      schema: {
        tags: ['sun'],
        summary: 'Forgets the usual sunshine entered',
        params: InGarden,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { garden } = request.params
      await requireGarden(deps, garden)
      if (!(await deps.garden.deleteClearNormals(garden))) {
        throw new ApiProblem('NOT_FOUND', `no usual sunshine has been entered for the garden ${garden}`)
      }
      gardenChanged(deps, garden)
      return reply.code(204).send(null)
    },
  )
}

const NO_NORMALS: ClearNormals = { fraction: new Array<null>(12).fill(null), source: null }

/** @throws ApiProblem INVALID_INPUT */
function checkDrawing({ points, fences }: DrawnSkylineInput): void {
  const problems: FieldProblem[] = []
  if (points.length === 0 && fences.length === 0) {
    problems.push({ field: 'points', message: 'draw something, or DELETE the drawing' })
  }
  if (points.length === 1) {
    problems.push({ field: 'points', message: 'a line needs at least two points' })
  }
  for (const [i, fence] of fences.entries()) problems.push(...endsOf(fence, `fences.${i}`))
  if (problems.length > 0) throw invalidInput(problems)
}

/** Seen from the bed, a straight line ends within 90° of its nearest point. */
function endsOf({ directionDeg, leftEndDeg, rightEndDeg }: SkylineFence, field: string): FieldProblem[] {
  const turn = (fromDeg: number, toDeg: number): number => (toDeg - fromDeg + 720) % 360
  const problems: FieldProblem[] = []
  if (leftEndDeg !== null && turn(leftEndDeg, directionDeg) >= 90) {
    problems.push({
      field: `${field}.leftEndDeg`,
      message: 'must lie less than 90° to the left of `directionDeg`',
    })
  }
  if (rightEndDeg !== null && turn(directionDeg, rightEndDeg) >= 90) {
    problems.push({
      field: `${field}.rightEndDeg`,
      message: 'must lie less than 90° to the right of `directionDeg`',
    })
  }
  return problems
}
