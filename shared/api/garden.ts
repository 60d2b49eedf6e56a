/** Garden data on the wire: garden, beds, nodes, placements, plantings. Names carry units. */
import { z } from 'zod'
import { Id } from '../ids.js'
import { isDate, isTimeZone } from '../local-time.js'

const DATE = 'use a calendar date, YYYY-MM-DD'
export const CalendarDate = z.string(DATE).refine(isDate, DATE)
/** ISO 8601 with offset */
export const Instant = z.iso.datetime({
  offset: true,
  error: 'use ISO 8601 with an offset, e.g. 2027-05-06T14:10:00+02:00',
})
const Name = z.string().trim().min(1, 'give it a name').max(80, 'at most 80 characters')

export const GardenInput = z.strictObject({
  name: Name,
  latitudeDeg: z.number().min(-90).max(90),
  longitudeDeg: z.number().min(-180).max(180),
  elevationM: z.number().min(-450).max(6000).default(0),
  timeZone: z.string().refine(isTimeZone, 'use an IANA time zone, e.g. Europe/Copenhagen'),
})
export const Garden = z.object({ id: Id, ...GardenInput.shape })
export type GardenInput = z.infer<typeof GardenInput>
export type Garden = z.infer<typeof Garden>

export const BedKind = z.enum(['raised', 'container', 'ground'])
export const BedInput = z.strictObject({
  name: Name,
  kind: BedKind,
  lengthM: z.number().positive().max(200, 'at most 200 m'),
  widthM: z.number().positive().max(200, 'at most 200 m'),
  /** soil depth; null where it is open ground */
  depthM: z.number().positive().max(5, 'at most 5 m').nullable().default(null),
})
export const Bed = z.object({ id: Id, ...BedInput.shape })
export type BedInput = z.infer<typeof BedInput>
export type Bed = z.infer<typeof Bed>

export const NodeInput = z.strictObject({ name: Name })
export const Node = z.object({ id: Id, ...NodeInput.shape })
export type NodeInput = z.infer<typeof NodeInput>
export type Node = z.infer<typeof Node>

/** Node N stood in bed B from `from` until `to` (null: still there). */
export const PlacementInput = z.strictObject({
  node: Id,
  bed: Id,
  from: Instant,
  to: Instant.nullable().default(null),
})
export const Placement = z.object({ id: z.string(), ...PlacementInput.shape })
export type PlacementInput = z.infer<typeof PlacementInput>
export type Placement = z.infer<typeof Placement>

export const PlantingInput = z.strictObject({
  bed: Id,
  /** id of a crop in GET /crops */
  crop: z.string().min(1).max(63),
  variety: z.string().trim().max(80).nullable().default(null),
  sownOn: CalendarDate.nullable().default(null),
  plantedOutOn: CalendarDate.nullable().default(null),
  plants: z.int().positive().max(100_000),
  spacingM: z.number().positive().max(5),
  finishedOn: CalendarDate.nullable().default(null),
})
export const Planting = z.object({ id: z.string(), ...PlantingInput.shape })
export type PlantingInput = z.infer<typeof PlantingInput>
export type Planting = z.infer<typeof Planting>

/** What POST and PUT of plantings take. */
export const PlantingRequest = z.strictObject({
  ...PlantingInput.shape,
  /** tighter than the crop's room or the bed's ground, and meant so; asked for when it is missing, not kept */
  isTightOnPurpose: z.boolean().default(false),
})
export type PlantingRequest = z.infer<typeof PlantingRequest>

/** RFC 9457 problem details; `problems` names each field at fault. */
export const Problem = z.object({
  type: z.string(),
  title: z.string(),
  status: z.int(),
  detail: z.string(),
  code: z.string(),
  problems: z.array(z.object({ field: z.string(), message: z.string() })).optional(),
})
export type Problem = z.infer<typeof Problem>
