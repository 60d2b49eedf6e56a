/** What the schema of a planting cannot say: dates in the order of a life, a crop we know, room in the bed. */
import type { Garden, Planting, PlantingInput, PlantingRequest } from '../../shared/api/garden.js'
import { daysBetween, localDate } from '../../shared/local-time.js'
import { findGardenCrop, type KnownCrop } from '../core/crops/garden-crops.js'
import { neighboursIn, type RoomProblem, roomProblems, takesNoMore } from '../core/space/planting-room.js'
import type { ApiDeps } from './deps.js'
import { type FieldProblem, invalidInput } from './problems.js'

const FIRST_DATE = '2000-01-01'
const LAST_DATE = '2199-12-31'
/** What the hub knows of crops is about plants of one year, or two. */
const LONGEST_DAYS = 1_100

/**
 * Checks a planting before it is stored.
 *
 * @param before  as it was; null: it is new
 * @returns what to store
 * @throws ApiProblem INVALID_INPUT
 */
export async function checkedPlanting(
  deps: ApiDeps,
  garden: Garden,
  { isTightOnPurpose, ...input }: PlantingRequest,
  before: Planting | null,
): Promise<PlantingInput> {
  const today = localDate(deps.now(), garden.timeZone)
  const owned = await deps.garden.listCrops(garden.id)
  const cropOf = (id: string): KnownCrop | undefined => findGardenCrop(id, owned)
  const known = cropOf(input.crop)
  const problems = dateProblems(input, today)
  if (!known) {
    const message = `no crop is called ${input.crop}; see GET /api/v1/crops, or add it as your own`
    problems.unshift({ field: 'crop', message })
  }
  if (!known || problems.length > 0) throw invalidInput(problems)

  const bed = await deps.garden.getBed(garden.id, input.bed)
  // an unknown bed is for the repository to refuse, as with placements
  if (bed === null || (before !== null && takesNoMore(before, input, bed, known, today))) return input
  const planted = await deps.garden.listPlantings(garden.id, bed.id)
  const neighbours = neighboursIn(bed, planted, cropOf, today, before?.id ?? null)
  const tight = roomProblems(input, known, bed, neighbours, today)
  if (tight.some((one) => one.isImpossible) || (tight.length > 0 && !isTightOnPurpose)) {
    throw invalidInput(told(tight))
  }
  return input
}

/** What may be meant is asked for at a field of its own. */
function told(problems: readonly RoomProblem[]): FieldProblem[] {
  const fields = problems.map(({ field, message }): FieldProblem => ({ field, message }))
  if (problems.some((one) => one.isImpossible)) return fields
  return [
    ...fields,
    { field: 'isTightOnPurpose', message: 'say that it is meant so, to have it all the same' },
  ]
}

/** Each date by itself, then their order; no slip of the finger makes a planting last for centuries, day by day. */
function dateProblems(input: PlantingInput, today: string): FieldProblem[] {
  const { sownOn, plantedOutOn, finishedOn } = input
  const far = Object.entries({ sownOn, plantedOutOn, finishedOn })
    .filter(([, date]) => date !== null && (date < FIRST_DATE || date > LAST_DATE))
    .map(([field]) => ({ field, message: `use a date from ${FIRST_DATE} to ${LAST_DATE}` }))
  return far.length > 0 ? far : lifeProblems(input, today)
}

function lifeProblems({ sownOn, plantedOutOn, finishedOn }: PlantingInput, today: string): FieldProblem[] {
  const began = sownOn ?? plantedOutOn
  if (began === null) return [{ field: 'sownOn', message: 'give the date it was sown, or planted out' }]
  if (plantedOutOn !== null && plantedOutOn < began) {
    return [{ field: 'plantedOutOn', message: 'must not be before it was sown' }]
  }
  if (finishedOn !== null && finishedOn < (plantedOutOn ?? began)) {
    return [
      {
        field: 'finishedOn',
        message: `must not be before it was ${plantedOutOn === null ? 'sown' : 'planted out'}`,
      },
    ]
  }
  if (daysBetween(began, finishedOn ?? today) > LONGEST_DAYS) {
    return [
      finishedOn === null
        ? {
            field: 'finishedOn',
            message: 'it began more than three years ago: give the date it was finished',
          }
        : { field: 'finishedOn', message: 'must be within three years of when it began' },
    ]
  }
  return []
}
