/**
 * Looking back: what a season, or several, gave. GET /gardens/{garden}/review. Days come as columns, one entry a day; null:
 * not measured.
 */
import { z } from 'zod'
import { Id } from '../ids.js'
import { CalendarDate } from './garden.js'
import { JournalEntry } from './journal.js'
import { PlantingReport } from './progress.js'
import { Warning } from './warnings.js'

const Column = z.array(z.number().nullable())

/** A bed's days over the time asked for. */
export const ReviewBed = z.object({
  bed: Id,
  name: z.string(),
  days: z.object({
    date: z.array(CalendarDate),
    sunHours: Column,
    possibleSunHours: z.array(z.number()),
    minC: Column,
    meanC: Column,
    maxC: Column,
    /** of each day alone, °C·d above the hub's usual base of 4.4 °C */
    degreeDaysC: Column,
  }),
})
export type ReviewBed = z.infer<typeof ReviewBed>

/** What the journal says came of a planting. */
export const Harvest = z.object({
  /** times that something was cut */
  cuts: z.int(),
  firstCutOn: CalendarDate.nullable(),
  lastCutOn: CalendarDate.nullable(),
  /** heads (curds, plants) cut; entries that do not say how many count for none */
  heads: z.int(),
  /** of all that was weighed; null: nothing was */
  weightKg: z.number().nullable(),
  /** heads that were weighed and counted, and their mean; null: none were */
  weighedHeads: z.int(),
  weightPerHeadKg: z.number().nullable(),
  /** mean over cuts that were measured across */
  diameterMm: z.number().nullable(),
  /** plants */
  split: z.int(),
  bolted: z.int(),
  lost: z.int(),
  /** entries of cutting, splitting, bolting and loss that do not say of how many */
  uncounted: z.int(),
  /** times that heads felt so */
  soft: z.int(),
  giving: z.int(),
  firm: z.int(),
})
export type Harvest = z.infer<typeof Harvest>

/** One stage of a planting: how long, and what it had. */
export const StageShare = z.object({
  stage: z.string(),
  stageName: z.string(),
  bbch: z.string(),
  from: CalendarDate,
  /** the last day of it */
  to: CalendarDate,
  days: z.int(),
  /** means a day, over days on which enough was measured; null: none */
  sunHours: z.number().nullable(),
  meanC: z.number().nullable(),
  /** sums; null: not measured */
  degreeDaysC: z.number().nullable(),
  heatHours: z.number().nullable(),
  chillHours: z.number().nullable(),
})
export type StageShare = z.infer<typeof StageShare>

export const ReviewPlanting = z.object({
  planting: z.string(),
  bed: Id,
  bedName: z.string(),
  crop: z.string(),
  cropName: z.string(),
  /** what is eaten: head, curd, leaves … */
  forms: z.string(),
  variety: z.string().nullable(),
  plants: z.int(),
  spacingM: z.number(),
  sownOn: CalendarDate.nullable(),
  plantedOutOn: CalendarDate.nullable(),
  finishedOn: CalendarDate.nullable(),
  stageName: z.string(),
  /** part of the time that readings of the air account for, 0 to 1 */
  coverage: z.number(),
  /** the crop's heat limit; null: none is known */
  heatAboveC: z.number().nullable(),
  days: z.object({
    date: z.array(CalendarDate),
    sunHours: Column,
    possibleSunHours: z.array(z.number()),
    minC: Column,
    meanC: Column,
    maxC: Column,
    soilMeanC: Column,
    /** added up since the start, over the crop's own base */
    degreeDaysC: z.array(z.number()),
    /** above the crop's own limit */
    heatHours: Column,
    chillHours: Column,
  }),
  stages: z.array(StageShare),
  doses: PlantingReport.shape.doses,
  warnings: z.array(Warning),
  journal: z.array(JournalEntry),
  harvest: Harvest,
})
export type ReviewPlanting = z.infer<typeof ReviewPlanting>

export const HeadFactor = z.enum([
  'sun',
  'warmth',
  'heat',
  'chill',
  'spacing',
  'start',
  'feeding',
  'watering',
])
export type HeadFactor = z.infer<typeof HeadFactor>

/** One thing in which plantings differed, beside the weight of their heads. */
export const FactorBeside = z.object({
  factor: HeadFactor,
  /** plain words with the unit */
  label: z.string(),
  /** as in `plantings`, heaviest heads first; null: not known */
  values: z.array(z.number().nullable()),
  /** pairs of plantings in which the heavier heads had more of it, and less of it */
  pairsMore: z.int(),
  pairsLess: z.int(),
  /** part of all ways to shuffle these plantings that line up as well or better; null: too few, or nothing differs */
  chance: z.number().nullable(),
  /** does it go along with the weights in nearly every pair? Says nothing of why */
  goesAlong: z.boolean(),
  words: z.string(),
})
export type FactorBeside = z.infer<typeof FactorBeside>

/** Plantings of one crop whose heads were weighed, side by side. Finds no causes: it gives numbers. */
export const HeadComparison = z.object({
  crop: z.string(),
  cropName: z.string(),
  /** heaviest heads first */
  plantings: z.array(z.string()),
  weightPerHeadKg: z.array(z.number()),
  weighedHeads: z.array(z.int()),
  factors: z.array(FactorBeside),
  /** sentences, the first the one to read */
  words: z.array(z.string()),
})
export type HeadComparison = z.infer<typeof HeadComparison>

export const SeasonReview = z.object({
  from: CalendarDate,
  to: CalendarDate,
  /** the first date that the garden knows anything of; null: nothing yet */
  since: CalendarDate.nullable(),
  beds: z.array(ReviewBed),
  /** those that grew in the time asked for, by start */
  plantings: z.array(ReviewPlanting),
  comparisons: z.array(HeadComparison),
})
export type SeasonReview = z.infer<typeof SeasonReview>

/** Years of readings take a while to add up the first time: until then `review` is null; ask again. */
export const ReviewAnswer = z.object({
  review: SeasonReview.nullable(),
  /** parts reckoned up, of all */
  done: z.int(),
  of: z.int(),
})
export type ReviewAnswer = z.infer<typeof ReviewAnswer>
