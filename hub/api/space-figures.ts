/** What is to be said of the room in a bed, put together for the wire. */
import type { HeadSize as HeadOnWire, Space } from '../../shared/api/space.js'
import type { KnownCrop } from '../core/crops/garden-crops.js'
import { holds, widestToldM } from '../core/space/bed-capacity.js'
import { bedSpace, type SpacedLayout } from '../core/space/bed-space.js'
import { areaM2, type Ground } from '../core/space/ground.js'
import { mostCrowded, roomBeside, stayOf } from '../core/space/ground-shares.js'
import { groundPerPlantM2, type HeadSize, headSize } from '../core/space/head-size.js'
import { fullestLayout, layOut } from '../core/space/layout.js'
import { type Neighbour, neighboursDuring } from '../core/space/planting-room.js'
import { checkRoom } from '../core/space/room-check.js'

export interface SpaceQuestion {
  readonly known: KnownCrop
  /** null: a bed that is not there yet */
  readonly bed: string | null
  readonly ground: Ground
  readonly depthM: number | null
  readonly spacingM: number
  readonly comparedM: readonly number[]
  /** planted on this date */
  readonly from: string
  readonly today: string
  readonly neighbours: readonly Neighbour[]
}

/** Nobody draws more. */
const MOST_DRAWN = 2_000
/** A tape shows no tenths of a millimetre. */
const tape = (m: number): number => Math.round(m * 10_000) / 10_000

/** @throws RangeError  a length is not positive */
export function spaceFigures(question: SpaceQuestion): Space {
  const { known, bed, ground, depthM, spacingM, from, today } = question
  const { crop, library } = known
  const space = bedSpace(crop, ground, spacingM, depthM, library.id)
  const usual = crop.spacing.betweenPlantsM
  const stay = stayOf({ sownOn: null, plantedOutOn: from, finishedOn: null }, crop, today)
  const neighbours = stay === null ? [] : neighboursDuring(stay, question.neighbours)
  const takenPart = (stay === null ? null : mostCrowded(stay, neighbours))?.part ?? 0
  const isRound = ground.shape === 'round'
  return {
    crop: crop.id,
    cropName: crop.name,
    bed,
    shape: ground.shape,
    lengthM: isRound ? ground.diameterM : ground.lengthM,
    widthM: isRound ? ground.diameterM : ground.widthM,
    depthM,
    areaM2: areaM2(ground),
    spacingM,
    usual: { spacingM: usual.value, source: usual.source, note: usual.note },
    holds: holds(ground, spacingM),
    layouts: space.layouts.map((layout) => layoutOnWire(ground, layout)),
    room: space.room,
    head: space.head && { square: headOnWire(space.head.square), offset: headOnWire(space.head.offset) },
    bySoil: space.bySoil,
    litresEach: crop.spacing.containerLitres.value,
    from,
    neighbours: neighbours.map(({ planting, cropName, from: since, until, isGuessed, part }) => ({
      planting: planting.id,
      cropName,
      plants: planting.plants,
      spacingM: planting.spacingM,
      from: since,
      until,
      isGuessed,
      part,
    })),
    takenPart,
    roomBeside: roomBeside(ground, spacingM, takenPart),
    compared: question.comparedM.map((m) => {
      const head = headSize(library, groundPerPlantM2(m, 'square'))
      return {
        spacingM: m,
        square: layOut(ground, m, 'square', 'own-square').spots.length,
        fullest: fullestLayout(ground, m, 'own-square').spots.length,
        room: checkRoom(crop, ground, m),
        head: head && headOnWire(head),
      }
    }),
  }
}

function layoutOnWire(ground: Ground, layout: SpacedLayout): Space['layouts'][number] {
  const { pattern, edge, fromEdgeM, couldBeM, spots } = layout
  return {
    pattern,
    edge,
    plants: spots.length,
    fromEdgeM,
    couldBeM: widestToldM(ground, spots.length, pattern, edge, couldBeM),
    spots:
      spots.length > MOST_DRAWN
        ? null
        : { xM: spots.map(({ xM }) => tape(xM)), yM: spots.map(({ yM }) => tape(yM)) },
  }
}

/** The low and the high weight may rest on different grounds: the weaker one is named, with both notes. */
function headOnWire({ lowKg, highKg, lowM, highM }: HeadSize): HeadOnWire {
  return {
    lowKg: lowKg.value,
    highKg: highKg.value,
    lowM,
    highM,
    source: highKg.source,
    note: lowKg.note === highKg.note ? lowKg.note : `${lowKg.note}; at most ${highKg.note}`,
  }
}
