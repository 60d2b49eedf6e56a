/** Room for plants on the wire: how many a bed or container holds, and where each stands. Metres from its lower left corner. */
import { z } from 'zod'
import { FigureSource } from './crops.js'

/** square: plants side by side; offset: every second row shifted by half a step; rings: round containers only. */
export const SpacePattern = z.enum(['square', 'offset', 'rings'])
/** own-square: each plant's square lies within the ground; to-the-edge: plants up to a hand's width from the edge. */
export const SpaceEdge = z.enum(['own-square', 'to-the-edge'])

export const SpaceLayout = z.object({
  pattern: SpacePattern,
  edge: SpaceEdge,
  plants: z.int(),
  /** how far plants keep from the edge, m */
  fromEdgeM: z.number(),
  /** the widest spacing at which as many still fit; null: none fits, or too many to spread by hand */
  couldBeM: z.number().nullable(),
  /** where each stands; null: more than anybody would draw */
  spots: z.object({ xM: z.array(z.number()), yM: z.array(z.number()) }).nullable(),
})
export type SpaceLayout = z.infer<typeof SpaceLayout>

/** How large heads grow with the ground that each plant has. */
export const HeadSize = z.object({
  lowKg: z.number(),
  highKg: z.number(),
  /** across, of a round head of that weight, m */
  lowM: z.number(),
  highM: z.number(),
  source: FigureSource,
  note: z.string(),
})
export type HeadSize = z.infer<typeof HeadSize>

export const RoomVerdict = z.object({
  room: z.enum(['wider-than-ground', 'too-tight', 'tight', 'usual', 'roomy']),
  words: z.string(),
  /** what the verdict rests on */
  note: z.string(),
})

/** A planting that stands in the bed in the same weeks. */
export const SpaceNeighbour = z.object({
  planting: z.string(),
  cropName: z.string(),
  plants: z.int(),
  spacingM: z.number(),
  from: z.string(),
  /** the ground is free again on this day */
  until: z.string(),
  /** the end is a guess from the crop's usual days */
  isGuessed: z.boolean(),
  /** of the bed's ground */
  part: z.number(),
})

/** GET /gardens/{garden}/space */
export const Space = z.object({
  crop: z.string(),
  cropName: z.string(),
  /** null: a bed that is not there yet */
  bed: z.string().nullable(),
  shape: z.enum(['rectangle', 'round']),
  /** both are the diameter of what is round */
  lengthM: z.number(),
  widthM: z.number(),
  /** of the soil; null: open ground */
  depthM: z.number().nullable(),
  areaM2: z.number(),
  spacingM: z.number(),
  usual: z.object({ spacingM: z.number(), source: FigureSource, note: z.string() }),
  /** the most that stand so far apart, each with its own square */
  holds: z.int(),
  layouts: z.array(SpaceLayout),
  room: RoomVerdict,
  /** in square and in shifted rows; null: no trial of spacing is known of this crop */
  head: z.object({ square: HeadSize, offset: HeadSize }).nullable(),
  /** plants that the soil feeds; null: open ground, or its depth is not known */
  bySoil: z.int().nullable(),
  /** soil for one plant, L */
  litresEach: z.number(),
  /** what stands in the bed in the weeks of a planting begun on `from` */
  from: z.string(),
  neighbours: z.array(SpaceNeighbour),
  /** of the ground, on the most crowded day of those weeks */
  takenPart: z.number(),
  /** plants that have room beside those, on that day */
  roomBeside: z.int(),
  /** other spacings, as asked for */
  compared: z.array(
    z.object({
      spacingM: z.number(),
      /** in square rows and in the fullest pattern, each with its own square */
      square: z.int(),
      fullest: z.int(),
      room: RoomVerdict,
      /** in square rows */
      head: HeadSize.nullable(),
    }),
  ),
})
export type Space = z.infer<typeof Space>
