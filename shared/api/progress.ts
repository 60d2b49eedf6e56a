/**
 * All that is told of a planting: stage and degree days, what they were corrected by, what has been taken of heat and
 * chill against the crop's limits, when its stages are to be expected. GET /plantings/{id}/progress.
 */
import { z } from 'zod'
import { FigureSource } from './crops.js'
import { CalendarDate } from './garden.js'
import { PlantingProgress } from './measurements.js'

/** What a grower can have seen of a planting. `heads-started`: whatever is eaten began to form (curds, pods too). */
export const Seen = z.enum(['emerged', 'first-leaves', 'heads-started', 'firm', 'split', 'bolted'])
export type Seen = z.infer<typeof Seen>

/** `firm`: fit to cut or pull. `split` and `bolted`: past its best, the latter before its time. */
export const ObservationInput = z.strictObject({
  seen: Seen,
  on: CalendarDate,
  note: z.string().trim().max(500).nullable().default(null),
})
export type ObservationInput = z.infer<typeof ObservationInput>

export const Observation = z.object({ id: z.string(), planting: z.string(), ...ObservationInput.shape })
export type Observation = z.infer<typeof Observation>

/** What a planting has taken of something, and how much of it does harm. */
export const Dose = z.object({
  amount: z.number(),
  /** h: hours; d: days */
  unit: z.enum(['h', 'd']),
  /** worth a look from here on */
  watchAt: z.number(),
  /** harm is likely from here on */
  likelyAt: z.number(),
  level: z.enum(['none', 'watch', 'likely']),
  /** days that could not be judged for want of readings: the amount may be more */
  unknownDays: z.int(),
  /** where `likelyAt` comes from; 'grower': the grower's own */
  limitSource: FigureSource,
  /** one plain sentence with the numbers */
  words: z.string(),
})
export type Dose = z.infer<typeof Dose>

/** When a stage that lies ahead is to be expected. */
export const ProjectedStage = z.object({
  stage: z.string(),
  stageName: z.string(),
  bbch: z.string(),
  degreeDaysC: z.number(),
  /** null: not within the days that can be looked ahead */
  expectedOn: CalendarDate.nullable(),
  /** eight times in ten it lies between these; null: nothing to tell an interval from */
  earliestOn: CalendarDate.nullable(),
  latestOn: CalendarDate.nullable(),
})
export type ProjectedStage = z.infer<typeof ProjectedStage>

export const PlantingReport = z.object({
  ...PlantingProgress.shape,
  today: CalendarDate,
  /** the crop's numbers are the library's, or some are the grower's */
  cropBy: z.enum(['library', 'grower']),
  /** °C·d of the sum that were filled in over short holes; days in holes too long to fill (the sum is a lower bound) */
  filledC: z.number(),
  openDays: z.int(),
  /** what is in the way of a better answer, in plain words; empty: nothing */
  notes: z.array(z.string()),
  observations: z.array(Observation),
  /** columns, one entry a day from the start on; null: not measured */
  days: z.object({
    date: z.array(CalendarDate),
    /** added up to the day's end */
    degreeDaysC: z.array(z.number()),
    minC: z.array(z.number().nullable()),
    meanC: z.array(z.number().nullable()),
    maxC: z.array(z.number().nullable()),
    /** h above the crop's own limit */
    heatHours: z.array(z.number().nullable()),
  }),
  /** how the sum is to go on, from tomorrow; low and high: eight times in ten between them. Empty: nothing known */
  ahead: z.object({
    date: z.array(CalendarDate),
    lowC: z.array(z.number().nullable()),
    middleC: z.array(z.number()),
    highC: z.array(z.number().nullable()),
  }),
  projection: z.object({
    /** what the days to come are taken from */
    basis: z.enum(['past years', 'normals', 'recent pace', 'none']),
    /** past years that it rests on */
    years: z.int(),
    words: z.string(),
    stages: z.array(ProjectedStage),
    /** ready until past its best; null: not known, or over */
    harvest: z.object({ from: CalendarDate, to: CalendarDate.nullable() }).nullable(),
  }),
  /** the crop's comfort: best mean from … to, coolest and warmest mean at which it grows, °C; null: crop not known */
  comfort: z
    .object({ bestFromC: z.number(), bestToC: z.number(), minMeanC: z.number(), maxMeanC: z.number() })
    .nullable(),
  doses: z.object({
    /** hours above the crop's limit while what is eaten forms; null: the crop has no such limit */
    heat: Dose.extend({ aboveC: z.number(), harm: z.string() }).nullable(),
    /** days of full chill once the plants are old enough to feel it */
    chill: Dose.extend({
      /** days of chill that warm days have undone again */
      undoneDays: z.number(),
      /** null: too small to feel it yet */
      feelsColdFrom: CalendarDate.nullable(),
    }).nullable(),
    /** warm, long days */
    warmDays: Dose.extend({ aboveC: z.number(), dayLongerThanHours: z.number().nullable() }).nullable(),
  }),
  /** by soil temperature, of what was sown in place; null: planted out, or no date of sowing */
  emergence: z
    .object({
      /** 0 at sowing to 1 when seedlings are up */
      part: z.number(),
      emergedOn: CalendarDate.nullable(),
      expectedOn: CalendarDate.nullable(),
      /** days on which the soil was not measured */
      unknownDays: z.int(),
      soil: z.enum(['too cold', 'slow', 'fit', 'too hot', 'unknown']),
      words: z.string(),
    })
    .nullable(),
})
export type PlantingReport = z.infer<typeof PlantingReport>
