/** Measured and computed figures on the wire. Columns of times are epoch seconds (what uPlot eats). */
import { z } from 'zod'
import { Id } from '../ids.js'
import { CalendarDate, Instant } from './garden.js'

const Columns = z.array(z.number().nullable())

/** A chart of one quantity of one bed: raw readings when they are few enough, steps otherwise. */
export const Series = z.discriminatedUnion('form', [
  z.object({
    form: z.literal('raw'),
    quantity: z.string(),
    unit: z.string(),
    time: z.array(z.number()),
    value: z.array(z.number()),
    /** quality flags as a bit set, shared/quality-flags.ts */
    flags: z.array(z.int()),
    /** typical spacing of the readings, s; a wider hole is a gap */
    spacingS: z.number().nullable(),
  }),
  z.object({
    form: z.literal('steps'),
    quantity: z.string(),
    unit: z.string(),
    stepS: z.number(),
    /** start of each step; every step of the range is there, empty ones hold null */
    time: z.array(z.number()),
    min: Columns,
    mean: Columns,
    max: Columns,
    /** 0 to 1, the part of the step that good readings account for */
    coverage: z.array(z.number()),
  }),
])
export type Series = z.infer<typeof Series>

/** All that is computed for one bed and one local calendar day. null: not known; its coverage says why. */
export const DayRecord = z.object({
  date: CalendarDate,
  sunHours: z.number().nullable(),
  possibleSunHours: z.number(),
  sunCoverage: z.number(),
  dliMolM2: z.number().nullable(),
  airTempMinC: z.number().nullable(),
  airTempMaxC: z.number().nullable(),
  airTempMeanC: z.number().nullable(),
  airCoverage: z.number(),
  soilTempMinC: z.number().nullable(),
  soilTempMaxC: z.number().nullable(),
  soilTempMeanC: z.number().nullable(),
  soilCoverage: z.number(),
  degreeDaysC: z.number().nullable(),
  heatHours: z.number().nullable(),
  chillHours: z.number().nullable(),
  /** the day is not over, or its coverage is below the completeness rule */
  provisional: z.boolean(),
})
export type DayRecord = z.infer<typeof DayRecord>

export const SunState = z.enum(['sun', 'cloud', 'shade', 'night', 'unknown'])
export type SunState = z.infer<typeof SunState>

export const BedSun = z.object({
  date: CalendarDate,
  from: Instant,
  to: Instant,
  sunrise: Instant.nullable(),
  sunset: Instant.nullable(),
  /** sun hours so far (or of the whole day, once past) */
  sunHours: z.number().nullable(),
  possibleSunHours: z.number(),
  /** possible sun hours from now to the end of the day; 0 once past */
  stillPossibleHours: z.number(),
  sunCoverage: z.number(),
  segments: z.array(z.object({ from: Instant, to: Instant, state: SunState })),
})
export type BedSun = z.infer<typeof BedSun>

export const LatestValue = z.object({
  quantity: z.string(),
  unit: z.string(),
  node: Id,
  time: Instant,
  value: z.number(),
  flags: z.array(z.string()),
})
export type LatestValue = z.infer<typeof LatestValue>

/** One bed on the Today page: everything in one answer. */
export const BedToday = z.object({
  bed: Id,
  sun: BedSun,
  day: DayRecord,
  latest: z.array(LatestValue),
  /** the plantings that stand in the bed, with their stage */
  plantings: z.array(
    z.object({
      id: z.string(),
      crop: z.string(),
      cropName: z.string(),
      variety: z.string().nullable(),
      plants: z.int(),
      stage: z.string(),
      stageName: z.string(),
    }),
  ),
})
export type BedToday = z.infer<typeof BedToday>

export const Today = z.object({
  now: Instant,
  date: CalendarDate,
  sunrise: Instant.nullable(),
  sunset: Instant.nullable(),
  daylightHours: z.number(),
  beds: z.array(BedToday),
})
export type Today = z.infer<typeof Today>

/** Packs that were turned away since the hub started. */
export const Refusals = z.object({
  total: z.int(),
  byReason: z.record(z.string(), z.int()),
  latest: z
    .object({
      at: Instant,
      reason: z.string(),
      message: z.string(),
      /** first bytes, printable */
      excerpt: z.string(),
    })
    .nullable(),
})
export type Refusals = z.infer<typeof Refusals>

/** A node as its page shows it: what it sends, and what was refused. */
export const NodeStatus = z.object({
  id: Id,
  /** null: it publishes but nobody has named it yet */
  name: z.string().nullable(),
  presence: z.enum(['awake', 'asleep', 'gone']).nullable(),
  lastSeen: Instant.nullable(),
  latest: z.array(LatestValue),
  bed: Id.nullable(),
  refusals: Refusals,
})
export type NodeStatus = z.infer<typeof NodeStatus>

export const PlantingProgress = z.object({
  planting: z.string(),
  /** as the library or the grower names it; the id where neither knows it */
  cropName: z.string(),
  degreeDaysC: z.number().nullable(),
  /** part of the days since sowing or planting out that the figure rests on, 0 to 1 */
  coverage: z.number(),
  since: CalendarDate.nullable(),
  stage: z.string(),
  stageName: z.string(),
  bbch: z.string(),
  /** how sure the stage is: 'first guess' until learned from the grower's records */
  basis: z.string(),
  stages: z.array(
    z.object({
      stage: z.string(),
      stageName: z.string(),
      bbch: z.string(),
      degreeDaysC: z.number(),
      reachedOn: CalendarDate.nullable(),
    }),
  ),
})
export type PlantingProgress = z.infer<typeof PlantingProgress>
