/**
 * Whether a planting has room in its bed, beside what stands there in the same weeks: what is impossible, and what is so
 * tight that the grower must say it is meant. In plain words with the numbers, each at the field that would mend it.
 */
import type { Bed, Planting, PlantingInput } from '../../../shared/api/garden.js'
import type { KnownCrop } from '../crops/garden-crops.js'
import { capital, list } from '../words.js'
import { groundOf, holds, widestForM } from './bed-capacity.js'
import { areaM2, type Ground, narrowestM, SAME_M } from './ground.js'
import { mostCrowded, overlap, partOf, roomBeside, type Share, type Stay, stayOf } from './ground-shares.js'
import { checkRoom, plantsBySoil } from './room-check.js'
import { dateWords, lengthWords } from './room-words.js'

export interface RoomProblem {
  readonly field: 'plants' | 'spacingM'
  readonly message: string
  /** impossible: the grower's word cannot make it true */
  readonly isImpossible: boolean
}

/** A planting that stands in the bed, with the part of it that it takes. */
export interface Neighbour extends Share {
  readonly planting: Planting
  readonly cropName: string
}

type Sized = Pick<Bed, 'name' | 'kind' | 'lengthM' | 'widthM' | 'depthM'>
type CropOf = (id: string) => KnownCrop | undefined

/**
 * The plantings of a bed that take ground at any time, with their part of it.
 *
 * @param except  id of the planting that is being judged itself
 */
export function neighboursIn(
  bed: Sized,
  plantings: readonly Planting[],
  cropOf: CropOf,
  today: string,
  except: string | null,
): Neighbour[] {
  const ground = groundOf(bed)
  return plantings.flatMap((planting) => {
    const known = cropOf(planting.crop)
    const stay = stayOf(planting, known?.crop ?? null, today)
    if (planting.id === except || stay === null) return []
    const part = partOf(ground, planting.plants, planting.spacingM)
    return [{ ...stay, part, planting, cropName: known?.crop.name ?? planting.crop }]
  })
}

/**
 * @param known       the planting's crop
 * @param neighbours  what else stands in that bed (neighboursIn)
 * @returns nothing where it has room; what is impossible comes alone
 */
export function roomProblems(
  planting: Omit<PlantingInput, 'bed'>,
  known: KnownCrop,
  bed: Sized,
  neighbours: readonly Neighbour[],
  today: string,
): RoomProblem[] {
  const ground = groundOf(bed)
  const impossible = impossibleIn(planting, bed, ground)
  if (impossible !== null) return [{ ...impossible, isImpossible: true }]
  const stay = stayOf(planting, known.crop, today)
  const spacing = tightSpacing(planting, known, bed, ground)
  const plants =
    (stay === null ? null : crowded(planting, stay, bed, ground, neighbours)) ??
    tooMany(planting, bed, ground) ??
    thirsty(planting, known, bed, ground)
  const told: RoomProblem[] = []
  if (spacing !== null) told.push({ field: 'spacingM', message: spacing, isImpossible: false })
  if (plants !== null) told.push({ field: 'plants', message: plants, isImpossible: false })
  return told
}

/** Does a changed planting take no more ground than it did, and at no other time? Then it crowds nobody anew. */
export function takesNoMore(
  before: Planting,
  after: PlantingInput,
  bed: Sized,
  known: KnownCrop,
  today: string,
): boolean {
  const ground = groundOf(bed)
  const [was, is] = [stayOf(before, known.crop, today), stayOf(after, known.crop, today)]
  if (before.bed !== after.bed || before.crop !== after.crop || was === null || is === null) return false
  return (
    after.spacingM >= Math.min(before.spacingM, known.crop.spacing.betweenPlantsM.value) &&
    partOf(ground, after.plants, after.spacingM) <= partOf(ground, before.plants, before.spacingM) + SAME_M &&
    is.from >= was.from &&
    is.until <= was.until
  )
}

type Fault = Pick<RoomProblem, 'field' | 'message'>

/** Even seed strewn for cress does not lie closer than a centimetre apart. From memory. */
const CLOSEST_M = 0.01

function impossibleIn({ plants, spacingM }: PlantsApart, bed: Sized, ground: Ground): Fault | null {
  const most = Math.max(1, Math.floor(areaM2(ground) / CLOSEST_M ** 2))
  if (plants > most) {
    return {
      field: 'plants',
      message: `${bed.name} is ${sizeWords(bed)}: so many would stand less than ${lengthWords(CLOSEST_M)} apart`,
    }
  }
  if (plants === 1 || spacingM <= Math.max(bed.lengthM, bed.widthM) + SAME_M) return null
  return {
    field: 'spacingM',
    message: `wider than ${bed.name}, which is ${sizeWords(bed)}: ${giveWords(ground, plants)}`,
  }
}

type PlantsApart = Pick<PlantingInput, 'plants' | 'spacingM'>

function tightSpacing(
  { plants, spacingM }: PlantsApart,
  known: KnownCrop,
  bed: Sized,
  ground: Ground,
): string | null {
  const narrowM = narrowestM(ground)
  if (spacingM > narrowM + SAME_M) {
    const fit = holds(ground, spacingM)
    const row = fit === 1 ? '' : `; ${fit} would stand in it to the edge`
    return `wider than ${bed.name}, which is ${sizeWords(bed)}: no plant has its whole room${row}. ${capital(giveWords(ground, plants))}`
  }
  const check = checkRoom(known.crop, ground, spacingM)
  if (check.room !== 'too-tight') return null
  return `${check.words} Usual for ${known.crop.name}: ${lengthWords(known.crop.spacing.betweenPlantsM.value)}`
}

function tooMany({ plants, spacingM }: PlantsApart, bed: Sized, ground: Ground): string | null {
  const most = holds(ground, spacingM)
  if (plants <= most) return null
  const closer = widestForM(ground, plants)
  const or = closer === null || closer >= spacingM ? '' : `, or ${lengthWords(closer)} apart for ${plants}`
  return `${bed.name} holds ${most} at ${lengthWords(spacingM)}: give ${most === 1 ? 'one' : `${most} or fewer`}${or}`
}

function crowded(
  { plants, spacingM }: PlantsApart,
  stay: Stay,
  bed: Sized,
  ground: Ground,
  neighbours: readonly Neighbour[],
): string | null {
  const crowd = mostCrowded(stay, neighbours)
  if (crowd === null) return null
  const room = roomBeside(ground, spacingM, crowd.part)
  if (plants <= room) return null
  const day = crowd.on === stay.from ? '' : `from ${dateWords(crowd.on)} on `
  return (
    `${bed.name} holds ${holds(ground, spacingM)} at ${lengthWords(spacingM)}; ` +
    `${day}${list(crowd.who.map(standsWords))}: ${room === 0 ? 'no room left' : `room for ${room}`}`
  )
}

/** "8 of Cabbage, early stand there until about 20 June 2027" */
const standsWords = ({ planting, cropName, until, isGuessed }: Neighbour): string =>
  `${planting.plants} of ${cropName} ${planting.plants === 1 ? 'stands' : 'stand'} there until ` +
  `${isGuessed ? 'about ' : ''}${dateWords(until)}`

function thirsty(
  { plants }: PlantsApart,
  known: KnownCrop,
  { name, kind, depthM }: Sized,
  ground: Ground,
): string | null {
  const fed = kind === 'container' ? plantsBySoil(known.crop, ground, depthM) : null
  if (fed === null || plants <= fed) return null
  const litres = known.crop.spacing.containerLitres.value
  return `the soil of ${name} feeds ${fed === 0 ? 'not even one' : fed}, at ${litres} litres for each plant of ${known.crop.name}`
}

/** "give 32.7 cm, at which 12 fit" */
function giveWords(ground: Ground, plants: number): string {
  const widest = widestForM(ground, plants)
  if (widest === null) return 'give a smaller spacing'
  return `give ${lengthWords(widest)} or less, at which ${plants === 1 ? 'one fits' : `${plants} fit`}`
}

const sizeWords = ({ lengthM, widthM }: Sized): string =>
  lengthM === widthM ? `${lengthWords(widthM)} wide` : `${lengthWords(lengthM)} × ${lengthWords(widthM)}`

/** The neighbours of a stay, in order of their first day. */
export const neighboursDuring = (stay: Stay, neighbours: readonly Neighbour[]): Neighbour[] =>
  neighbours.filter((one) => overlap(stay, one)).sort((a, b) => a.from.localeCompare(b.from))
