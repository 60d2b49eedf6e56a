/** What is to come in a garden's beds, and public forecasts, on the wire. GET, PUT /gardens/{garden}/forecast. */
import { z } from 'zod'
import { Id } from '../ids.js'
import { CalendarDate, Instant } from './garden.js'

/** A middle value, and the two between which the truth lies eight times in ten, °C. */
export const Interval = z.object({ lowC: z.number(), middleC: z.number(), highC: z.number() })

export const ForecastDay = z.object({
  date: CalendarDate,
  /** 0 is today */
  leadDays: z.int(),
  airTempMinC: Interval,
  airTempMaxC: Interval,
  /** 0 to 1 */
  chanceOfFrost: z.number(),
  chanceAbove27C: z.number(),
})
export type ForecastDay = z.infer<typeof ForecastDay>

export const BedForecast = z.object({
  bed: Id,
  /** who spoke: a public forecast corrected to this bed, the bed's own days, or nobody */
  source: z.enum(['public', 'bed', 'none']),
  /** one plain sentence: who spoke, what it rests on, how old it is; or why there is none */
  words: z.string(),
  /** the name of the public source that spoke, and whom to credit */
  publicSource: z.string().nullable(),
  attribution: z.string().nullable(),
  issuedAt: Instant.nullable(),
  /** measured days, or public forecasts that have come due */
  restsOn: z.int(),
  /** false: what it rests on is too old for warnings */
  isFresh: z.boolean(),
  days: z.array(ForecastDay),
  /** columns, hour by hour from now on; epoch seconds */
  course: z.object({
    time: z.array(z.number()),
    lowC: z.array(z.number()),
    middleC: z.array(z.number()),
    highC: z.array(z.number()),
  }),
})
export type BedForecast = z.infer<typeof BedForecast>

/** The newest public forecast, and how its service is doing. */
export const PublicForecastStatus = z.object({
  /** what it calls itself: a service's name, or what the sender gave */
  source: z.string(),
  attribution: z.string().nullable(),
  state: z.enum(['fresh', 'stale', 'waiting']),
  issuedAt: Instant.nullable(),
  fetchedAt: Instant.nullable(),
  ageS: z.number().nullable(),
  /** when it is asked again; null: it is sent to the hub */
  nextTryAt: Instant.nullable(),
  /** what went wrong last, in plain words; null: nothing */
  problem: z.string().nullable(),
  /** as it was received, uncorrected; columns, epoch seconds */
  time: z.array(z.number()),
  airTempC: z.array(z.number()),
})
export type PublicForecastStatus = z.infer<typeof PublicForecastStatus>

export const GardenForecast = z.object({
  now: Instant,
  /** null: none has been switched on or sent */
  public: PublicForecastStatus.nullable(),
  beds: z.array(BedForecast),
})
export type GardenForecast = z.infer<typeof GardenForecast>

/** A forecast from anyone's own source, also on the topic gardens/{garden}/forecast. */
export const ForecastInput = z.strictObject({
  source: z.string().trim().min(1, 'name the source').max(80),
  attribution: z.string().trim().max(200).nullable().default(null),
  /** when the forecast was made; left out: now */
  issuedAt: Instant.nullable().default(null),
  /** ascending in time; steps of six hours at most are of use */
  points: z
    .array(z.strictObject({ time: Instant, airTempC: z.number() }))
    .min(2, 'give two points or more')
    .max(400, 'at most 400 points'),
})
export type ForecastInput = z.infer<typeof ForecastInput>
