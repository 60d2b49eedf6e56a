/** Room for plants: how many a bed or container holds at a spacing, where each stands, and what else stands there. */
import { z } from 'zod'
import type { Bed } from '../../../shared/api/garden.js'
import { BedKind } from '../../../shared/api/garden.js'
import { Space } from '../../../shared/api/space.js'
import { Id } from '../../../shared/ids.js'
import { localDate } from '../../../shared/local-time.js'
import { findGardenCrop } from '../../core/crops/garden-crops.js'
import { groundOf } from '../../core/space/bed-capacity.js'
import { areaM2, type Ground } from '../../core/space/ground.js'
import { neighboursIn } from '../../core/space/planting-room.js'
import type { Api, ApiDeps } from '../deps.js'
import { InGarden, requireBed, requireGarden } from '../known.js'
import { invalidInput } from '../problems.js'
import { decimal, queryDate } from '../query.js'
import { COMMON_PROBLEMS } from '../replies.js'
import { spaceFigures } from '../space-figures.js'

const metres = (most: number) => decimal(0.01, most)

/** Spacings side by side, m, parted by commas. */
const comparedM = z
  .string({ error: 'give it once, as text' })
  .transform((text, context) => {
    const values = text.split(',').map((part) => (/^\d(\.\d{1,6})?$/.test(part) ? Number(part) : Number.NaN))
    if (values.length <= MOST_COMPARED && values.every((m) => m >= 0.01 && m <= 5)) return values
    const message = `give at most ${MOST_COMPARED} spacings from 0.01 to 5, parted by commas`
    context.addIssue({ code: 'custom', message })
    return z.NEVER
  })
  .meta({ type: 'string' })
const MOST_COMPARED = 12

const SpaceQuery = z.strictObject({
  crop: z.string().min(1).max(63),
  spacingM: metres(5).optional(),
  bed: Id.optional(),
  kind: BedKind.optional(),
  shape: z.enum(['rectangle', 'round']).optional(),
  lengthM: metres(200).optional(),
  widthM: metres(200).optional(),
  depthM: metres(5).optional(),
  from: queryDate.optional(),
  except: z.string().min(1).max(100).optional(),
  comparedM: comparedM.optional(),
})
type Query = z.infer<typeof SpaceQuery>

/** More plants than these are a field's, not a bed's, and take too long to lay out six ways. */
const MOST_PLANTS = 20_000

export function spaceRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/space',
    {
      schema: {
        tags: ['plantings'],
        summary:
          'How many plants of a crop a bed or container holds, where each stands, how large heads grow',
        description:
          'Of a bed by its id, or of one that is not there yet by `lengthM`, `widthM` and `depthM`, or by ' +
          '`shape=round` and `lengthM` across. Without `spacingM` the crop’s usual. For a bed it is also told what ' +
          'stands there in the weeks of a planting begun on `from` (today unless given), leaving out the planting ' +
          '`except`. `shape=round` with a bed takes a container as long as it is wide for a round one.',
        params: InGarden,
        querystring: SpaceQuery,
        response: { 200: Space, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { query } = request
      const garden = await requireGarden(deps, request.params.garden)
      const bed = query.bed === undefined ? null : (await requireBed(deps, garden.id, query.bed)).bed
      const owned = await deps.garden.listCrops(garden.id)
      const known = findGardenCrop(query.crop, owned)
      if (!known) throw invalidInput([{ field: 'crop', message: `no crop is called ${query.crop}` }])
      const ground = bed === null ? typedGround(query) : bedGround(bed, query)
      const spacingM = query.spacingM ?? known.crop.spacing.betweenPlantsM.value
      const comparedM = query.comparedM ?? []
      checkNumber(ground, spacingM, 'spacingM')
      for (const m of comparedM) checkNumber(ground, m, 'comparedM')
      const today = localDate(deps.now(), garden.timeZone)
      const cropOf = (id: string) => findGardenCrop(id, owned)
      const plantings = bed === null ? [] : await deps.garden.listPlantings(garden.id, bed.id)
      return spaceFigures({
        known,
        bed: bed?.id ?? null,
        ground,
        depthM: depthOf(bed, query),
        spacingM,
        comparedM,
        from: query.from ?? today,
        today,
        neighbours: bed === null ? [] : neighboursIn(bed, plantings, cropOf, today, query.except ?? null),
      })
    },
  )
}

function typedGround({ shape = 'rectangle', lengthM, widthM }: Query): Ground {
  if (lengthM === undefined) {
    const message = shape === 'round' ? 'give how wide it is across' : 'give a bed, or a length and a width'
    throw invalidInput([{ field: 'lengthM', message }])
  }
  if (shape === 'round') return { shape, diameterM: lengthM }
  if (widthM === undefined) throw invalidInput([{ field: 'widthM', message: 'give the width too' }])
  return { shape, lengthM, widthM }
}

function bedGround(bed: Bed, { shape, lengthM, widthM }: Query): Ground {
  if (lengthM !== undefined || widthM !== undefined) {
    const message = 'give a bed, or lengths, not both'
    throw invalidInput([{ field: lengthM === undefined ? 'widthM' : 'lengthM', message }])
  }
  if (shape !== 'round') return groundOf(bed)
  if (bed.lengthM === bed.widthM) return { shape, diameterM: bed.lengthM }
  throw invalidInput([{ field: 'shape', message: `${bed.name} is longer than wide: it is not round` }])
}

/** Open ground sets no limit, however deep it was dug. */
const depthOf = (bed: Bed | null, { kind, depthM }: Query): number | null =>
  (bed?.kind ?? kind) === 'ground' ? null : (bed?.depthM ?? depthM ?? null)

function checkNumber(ground: Ground, spacingM: number, field: string): void {
  if (areaM2(ground) / spacingM ** 2 <= MOST_PLANTS) return
  const message = `${spacingM} m apart makes more than ${MOST_PLANTS} plants: lay out a smaller piece`
  throw invalidInput([{ field, message }])
}
