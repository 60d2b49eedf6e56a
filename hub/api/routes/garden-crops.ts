/** The crops of one garden: the library's with the grower's own numbers, and the grower's own crops. */
import { z } from 'zod'
import { type AdjustableFigure, GardenCrop, GardenCropInput } from '../../../shared/api/crops.js'
import { isId } from '../../../shared/ids.js'
import {
  ADJUSTABLE,
  type Adjustable,
  type Adjustments,
  adjustableLabel,
  adjustmentProblems,
} from '../../core/crops/adjusted-crop.js'
import type { Crop } from '../../core/crops/crop.js'
import {
  findGardenCrop,
  gardenCrops,
  isAdjustable,
  type KnownCrop,
  libraryNumber,
} from '../../core/crops/garden-crops.js'
import { findCrop } from '../../core/crops/library.js'
import { cropOnWire } from '../crop-on-wire.js'
import type { Api, ApiDeps } from '../deps.js'
import { gardenChanged } from '../garden-changed.js'
import { InGarden, requireGarden, WithGivenId } from '../known.js'
import { ApiProblem, type FieldProblem, invalidInput } from '../problems.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS, NoContent } from '../replies.js'

/** More crops than these nobody grows; it also bounds what a mistaken script can store. */
const MOST_OWN_CROPS = 500

export function gardenCropRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/crops',
    {
      schema: {
        tags: ['plantings'],
        summary: 'The crops of a garden, the grower’s own numbers taken in, with what can be adjusted',
        params: InGarden,
        response: { 200: z.array(GardenCrop), ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { id } = await requireGarden(deps, request.params.garden)
      return [...gardenCrops(await deps.garden.listCrops(id)).values()].map(gardenCropOnWire)
    },
  )

  app.get(
    '/gardens/:garden/crops/:id',
    {
      schema: {
        tags: ['plantings'],
        summary: 'One crop of a garden',
        params: WithGivenId,
        response: { 200: GardenCrop, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { id: garden } = await requireGarden(deps, request.params.garden)
      const known = findGardenCrop(request.params.id, await deps.garden.listCrops(garden))
      if (!known) throw noSuchCrop(garden, request.params.id)
      return gardenCropOnWire(known)
    },
  )

  app.put(
    '/gardens/:garden/crops/:id',
    {
      schema: {
        tags: ['plantings'],
        summary:
          'Puts the grower’s own numbers in place of the library’s, or adds a crop made from one of it',
        params: WithGivenId,
        body: GardenCropInput,
        response: { 200: GardenCrop, ...CHANGE_PROBLEMS },
      },
    },
    async (request) => {
      const { id: garden } = await requireGarden(deps, request.params.garden)
      const owned = await deps.garden.listCrops(garden)
      const { id } = request.params
      const { basedOn, name, adjustments } = checked(id, request.body)
      if (owned.length >= MOST_OWN_CROPS && !owned.some((own) => own.id === id)) {
        throw invalidInput([{ field: 'id', message: `at most ${MOST_OWN_CROPS} crops of your own` }])
      }
      const own = { id, basedOn, name, adjustments }
      await deps.garden.putCrop(garden, own)
      gardenChanged(deps, garden)
      return gardenCropOnWire(findGardenCrop(id, [own])!)
    },
  )

  app.delete(
    '/gardens/:garden/crops/:id',
    {
      schema: {
        tags: ['plantings'],
        summary: 'Takes the grower’s own numbers back, or deletes a crop of the grower’s own',
        params: WithGivenId,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { id: garden } = await requireGarden(deps, request.params.garden)
      if (!(await deps.garden.deleteCrop(garden, request.params.id)))
        throw noSuchCrop(garden, request.params.id)
      gardenChanged(deps, garden)
      return reply.code(204).send(null)
    },
  )
}

const noSuchCrop = (garden: string, id: string): ApiProblem =>
  new ApiProblem(
    'NOT_FOUND',
    `the garden ${garden} has no crop ${id} of its own; see GET /api/v1/gardens/${garden}/crops`,
  )

interface Checked {
  readonly basedOn: string
  readonly name: string | null
  readonly adjustments: Adjustments
}

/** @throws ApiProblem INVALID_INPUT */
function checked(id: string, input: GardenCropInput): Checked {
  const problems: FieldProblem[] = []
  const basedOn = input.basedOn ?? id
  const library = findCrop(basedOn)
  const isOwn = basedOn !== id
  if (!isId(id)) problems.push({ field: 'id', message: 'use small letters, digits and hyphens' })
  if (!library) {
    problems.push({ field: 'basedOn', message: `the library has no crop ${basedOn}; see GET /api/v1/crops` })
  }
  if (isOwn && findCrop(id)) {
    problems.push({
      field: 'basedOn',
      message: `${id} is in the library already: leave this out to adjust it`,
    })
  }
  if (isOwn && input.name === null) problems.push({ field: 'name', message: 'give it a name' })
  const adjustments = adjustmentsOf(input, library, problems)
  if (problems.length > 0) throw invalidInput(problems)
  return { basedOn, name: isOwn ? input.name : null, adjustments }
}

function adjustmentsOf(
  { adjustments: given }: GardenCropInput,
  library: Crop | undefined,
  problems: FieldProblem[],
): Adjustments {
  const adjustments: Partial<Record<Adjustable, number>> = {}
  for (const [field, value] of Object.entries(given)) {
    if (isAdjustable(field)) adjustments[field] = value
    else problems.push({ field: `adjustments.${field}`, message: 'there is no such number to adjust' })
  }
  for (const { field, message } of library ? adjustmentProblems(library, adjustments) : []) {
    problems.push({ field: `adjustments.${field}`, message })
  }
  return adjustments
}

function gardenCropOnWire(known: KnownCrop): GardenCrop {
  return {
    ...cropOnWire(known.crop),
    by: known.by,
    basedOn: known.library.id,
    adjustable: Object.keys(ADJUSTABLE)
      .filter(isAdjustable)
      .flatMap((field) => adjustableOf(known, field)),
  }
}

function adjustableOf(known: KnownCrop, field: Adjustable): AdjustableFigure[] {
  const libraryValue = libraryNumber(known, field)
  if (libraryValue === null) return []
  const { min, max } = ADJUSTABLE[field]
  const label = adjustableLabel(field)
  return [{ field, label, min, max, libraryValue, ownValue: known.adjustments[field] ?? null }]
}
