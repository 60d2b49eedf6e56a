/** When to sow, plant out and cut, on the wire: a crop's year week by week, its good windows, and the beds for it. */
import { z } from 'zod'
import { CalendarDate } from './garden.js'

/** What a plan rests on: days measured in the garden, monthly normals typed in, or the weather of one year chosen. */
export const PlanBasis = z.enum(['garden days', 'normals', 'chosen year'])
export type PlanBasis = z.infer<typeof PlanBasis>

/** under cover: raised in a frame or indoors and planted out; direct: sown where it grows */
export const PlanWay = z.enum(['under cover', 'direct'])
export type PlanWay = z.infer<typeof PlanWay>

/** Chance by the years looked at, 0 to 1; null: the crop does not mind. */
const Chance = z.object({ watch: z.number(), likely: z.number() }).nullable()
const DateOrNone = CalendarDate.nullable()

export const PlanWeek = z.object({
  way: PlanWay,
  /** first day of the week of sowing */
  sowOn: CalendarDate,
  emergedOn: DateOrNone,
  plantOutOn: DateOrNone,
  /** what is eaten begins to form; of leaf crops the second half of their growth */
  headingFrom: DateOrNone,
  readyFrom: DateOrNone,
  /** past its best by then */
  readyTo: DateOrNone,
  /** one year in ten is ready before, one in ten after; null with fewer than five years */
  readyEarly: DateOrNone,
  readyLate: DateOrNone,
  season: z.enum(['warming', 'cooling']).nullable(),
  /** usual mean while heads form, °C */
  headingMeanC: z.number().nullable(),
  readyChance: z.number(),
  heat: Chance,
  coldBolting: Chance,
  heatBolting: Chance,
  /** kills plants just set out or just up */
  youngFrost: z.number(),
  /** kills hardened plants before they are ready */
  killingFrost: z.number(),
  /** where it is sown in place */
  soil: z.enum(['too cold', 'slow', 'fit', 'too hot']).nullable(),
  soilMeanC: z.number().nullable(),
  /** 0 to 1: for the order of weeks only, no forecast of yields */
  score: z.number(),
})
export type PlanWeek = z.infer<typeof PlanWeek>

export const PlanWindow = z.object({
  way: PlanWay,
  season: z.enum(['warming', 'cooling']),
  grade: z.enum(['good', 'fair', 'risky']),
  sowFrom: CalendarDate,
  sowTo: CalendarDate,
  plantOutFrom: DateOrNone,
  plantOutTo: DateOrNone,
  headingFrom: CalendarDate,
  readyFrom: CalendarDate,
  readyTo: CalendarDate,
  best: PlanWeek,
})
export type PlanWindow = z.infer<typeof PlanWindow>

export const PlanSoil = z.object({
  basis: z.enum(['measured', 'from air']),
  weeks: z.array(
    z.object({
      date: CalendarDate,
      soilMeanC: z.number(),
      verdict: z.enum(['too cold', 'slow', 'fit', 'too hot']),
      daysToEmergence: z.number().nullable(),
    }),
  ),
  /** stretches of days with soil fit to sow into */
  fit: z.array(z.object({ from: CalendarDate, to: CalendarDate })),
})

/** GET /gardens/{garden}/plan */
export const Plan = z.object({
  crop: z.string(),
  cropName: z.string(),
  /** head, curd, leaves … */
  forms: z.string(),
  usualStart: z.enum(['sown', 'planted-out']),
  family: z.object({ botanical: z.string(), name: z.string() }).nullable(),
  /** null: nothing is known of this garden's weather yet */
  basis: PlanBasis.nullable(),
  /** what the plan rests on, or what to do so that there can be one */
  words: z.string(),
  /** each that there may be, and why one is not there */
  bases: z.array(z.object({ basis: PlanBasis, isThere: z.boolean(), words: z.string() })),
  /** ways in which the year may go that were looked at */
  years: z.int(),
  from: CalendarDate,
  /** monthly mean that suits the crop best, and the mean of the month around each week, °C */
  bestMeanFromC: z.number(),
  bestMeanToC: z.number(),
  usualMeanC: z.array(z.number()),
  /** from sowing under cover to planting out, and how that was reckoned */
  coverDays: z.int(),
  coverNote: z.string(),
  /** by way, then ascending; 52 of each way */
  weeks: z.array(PlanWeek),
  windows: z.array(PlanWindow),
  soil: PlanSoil.nullable(),
})
export type Plan = z.infer<typeof Plan>

/** GET /gardens/{garden}/plan/beds: the beds for one sowing, the best first. */
export const PlanBeds = z.object({
  crop: z.string(),
  week: PlanWeek,
  beds: z.array(
    z.object({
      bed: z.string(),
      name: z.string(),
      /** for the order only */
      score: z.number(),
      /** hours a day while heads form; null: not known */
      expectedSunHours: z.number().nullable(),
      possibleSunHours: z.number().nullable(),
      /** against the garden's other beds, °C */
      warmerByC: z.number().nullable(),
      reasons: z.array(z.string()),
      sameFamily: z.object({ cropName: z.string(), until: CalendarDate }).nullable(),
    }),
  ),
})
export type PlanBeds = z.infer<typeof PlanBeds>

/** A year of weather for plans, kept by the hub. GET, PUT, DELETE /gardens/{garden}/plan-weather */
export const PlanWeather = z.object({
  /** as the file was called */
  name: z.string(),
  /** first and last day, and how many of them hold enough to be used */
  from: CalendarDate,
  to: CalendarDate,
  days: z.int(),
  hasSoil: z.boolean(),
})
export type PlanWeather = z.infer<typeof PlanWeather>
