/** A bed's sun on the wire: skyline, outlook, the sun's path, the season's carpet, what beds have beside each other. */
import { z } from 'zod'
import { Id } from '../ids.js'
import { CalendarDate, Instant } from './garden.js'
import { SunState } from './measurements.js'

/** clockwise from north */
const Azimuth = z.number().min(0).max(360)
/** above the level */
const Height = z.number().min(0).max(90)
const Metres = z.number().positive().max(500)

export const SkylinePoint = z.strictObject({ azimuthDeg: Azimuth, elevationDeg: Height })
export type SkylinePoint = z.infer<typeof SkylinePoint>

/** A straight fence, hedge or wall, as paced out from the bed. */
export const SkylineFence = z.strictObject({
  /** its top above the bed */
  heightM: Metres,
  /** shortest way from the middle of the bed to it */
  distanceM: Metres,
  /** where its nearest point lies, seen from the bed */
  directionDeg: Azimuth,
  /** where its left and its right end are seen, each within 90° of the nearest point; null: it goes on */
  leftEndDeg: Azimuth.nullable().default(null),
  rightEndDeg: Azimuth.nullable().default(null),
})
export type SkylineFence = z.infer<typeof SkylineFence>

/** A skyline as the grower draws it; where several things stand in one direction, the highest counts. */
export const DrawnSkylineInput = z.strictObject({
  /** corner points; between two of them (no more than 180° apart) a straight line */
  points: z.array(SkylinePoint).max(120).default([]),
  fences: z.array(SkylineFence).max(24).default([]),
})
export type DrawnSkylineInput = z.infer<typeof DrawnSkylineInput>

export const GainChange = z.object({
  /** between the last clear day before and the first one after */
  after: Instant,
  before: Instant,
  from: z.number(),
  to: z.number(),
})

/** What the light sensor says over what is. */
export const LearnedGain = z.object({
  /** newest value; null: no clear day seen yet */
  gain: z.number().nullable(),
  /** one standard deviation, relative */
  uncertainty: z.number(),
  /** clear days that the newest value rests on */
  clearDays: z.int(),
  /** level before noon over level after noon on clear days; far from 1 the sensor leans. null: not both seen */
  morningOverAfternoon: z.number().nullable(),
  /** lasting changes, oldest first */
  changes: z.array(GainChange),
})

export const BedSkyline = z.object({
  bed: Id,
  /** the skyline with which this day's sun is judged */
  date: CalendarDate,
  /** what it was learned from; null: nothing yet, what there is was drawn or is a guess */
  learnedFrom: z
    .object({ node: Id, from: Instant, to: Instant, readings: z.int(), days: z.int() })
    .nullable(),
  /** the next six are columns, one entry for each 3° of the compass: the middle of the sector, clockwise from north */
  azimuthDeg: z.array(z.number()),
  /** most likely height of what stands there */
  elevationDeg: z.array(z.number()),
  /** nine chances in ten that it lies between these */
  lowDeg: z.array(z.number()),
  highDeg: z.array(z.number()),
  /** one standard deviation */
  uncertaintyDeg: z.array(z.number()),
  /** have the sun, or the grower, shown the height to within a few degrees? */
  known: z.array(z.boolean()),
  /** part of an even sky's light that reaches the bed, 0 to 1 */
  skyView: z.number(),
  /** as the grower drew it, with the heights by sector that follow (null: nothing drawn there) */
  drawn: z
    .object({
      points: z.array(SkylinePoint),
      fences: z.array(SkylineFence),
      elevationDeg: z.array(z.number().nullable()),
    })
    .nullable(),
  /** null: no light readings yet */
  gain: LearnedGain.nullable(),
})
export type BedSkyline = z.infer<typeof BedSkyline>

export const SunLabel = z.enum(['full sun', 'part sun', 'part shade', 'full shade'])

export const SeasonSun = z.object({
  season: z.enum(['spring', 'summer', 'autumn', 'winter']),
  label: SunLabel,
  /** mean over the days asked for that fall in the season */
  possibleSunHours: z.number(),
  /** the label if the skyline stood at its highest, at its lowest: where they differ, it is not certain */
  atWorst: SunLabel,
  atBest: SunLabel,
})

export const DateStretch = z.object({ from: CalendarDate, to: CalendarDate })

/** How much of the possible sun the sky lets through; columns by month, January first. */
export const ClearFractionByMonth = z.object({
  fraction: z.array(z.number().nullable()).length(12),
  /** null: nothing known */
  basis: z.array(z.enum(['measured', 'normals', 'other months']).nullable()).length(12),
  /** measured days that each figure rests on */
  days: z.array(z.int()).length(12),
})

export const SunOutlook = z.object({
  bed: Id,
  /** what the skyline rests on; none: the bed is taken to lie in the open */
  skyline: z.enum(['learned', 'drawn', 'learned and drawn', 'none']),
  days: z.array(
    z.object({
      date: CalendarDate,
      /** under a cloudless sky */
      possibleSunHours: z.number(),
      /** with the skyline at its highest and at its lowest */
      possibleLow: z.number(),
      possibleHigh: z.number(),
      /** with the usual clouds of the month; null: nothing known of the sky */
      expectedSunHours: z.number().nullable(),
    }),
  ),
  /** by season of the days asked for */
  labels: z.array(SeasonSun),
  /** from how many possible hours a day each label holds (below part shade: full shade), and whose limits these are */
  labelHours: z.object({
    fullSun: z.number(),
    partSun: z.number(),
    partShade: z.number(),
    source: z.string(),
  }),
  /** stretches in which the hours, averaged over the week around each day, reach the mark */
  possibleSixHours: z.array(DateStretch),
  possibleEightHours: z.array(DateStretch),
  expectedSixHours: z.array(DateStretch),
  expectedEightHours: z.array(DateStretch),
  /** first date on which the possible hours fall below six after having reached them; null: they do not */
  fallsBelowSixOn: CalendarDate.nullable(),
  clearFraction: ClearFractionByMonth,
})
export type SunOutlook = z.infer<typeof SunOutlook>

/** A grower's own monthly normals: sunshine relative to possible sunshine, from a climate table. */
export const ClearNormals = z.strictObject({
  /** January first, 0 to 1; null: not known */
  fraction: z.array(z.number().min(0).max(1).nullable()).length(12, 'give twelve months, January first'),
  /** where they are from */
  source: z.string().trim().max(200).nullable().default(null),
})
export type ClearNormals = z.infer<typeof ClearNormals>

export const LostSun = z.object({
  from: Instant,
  to: Instant,
  fromAzimuthDeg: z.number(),
  toAzimuthDeg: z.number(),
})

export const SunPath = z.object({
  date: CalendarDate,
  sunrise: Instant.nullable(),
  sunset: Instant.nullable(),
  solarNoon: Instant,
  /** columns, every ten minutes from the day's start to its end: epoch seconds, and where the sun stands */
  time: z.array(z.number()),
  azimuthDeg: z.array(z.number()),
  /** apparent, below 0 at night */
  elevationDeg: z.array(z.number()),
  possibleSunHours: z.number(),
  /** when the sun would shine on open ground but stands behind the bed's skyline */
  lost: z.array(LostSun),
})
export type SunPath = z.infer<typeof SunPath>

/** A day of the carpet. Times are minutes since the day began (local midnight). */
export const CarpetDay = z.object({
  date: CalendarDate,
  /** 1440, but where the clocks change */
  lengthMin: z.number(),
  sunriseMin: z.number().nullable(),
  sunsetMin: z.number().nullable(),
  /** columns: where each segment begins, and its state as an index into `states`; the last ends at endMin */
  startMin: z.array(z.number()),
  state: z.array(z.int()),
  /** the day's end, or now; 0 for days to come */
  endMin: z.number(),
  /** the skyline's cut: stretches in which the sun is up but stands behind the skyline, [from, to] */
  behindSkylineMin: z.array(z.tuple([z.number(), z.number()])),
  sunHours: z.number().nullable(),
  possibleSunHours: z.number(),
  sunCoverage: z.number(),
})
export type CarpetDay = z.infer<typeof CarpetDay>

export const SunCarpet = z.object({
  bed: Id,
  states: z.array(SunState),
  days: z.array(CarpetDay),
})
export type SunCarpet = z.infer<typeof SunCarpet>

/** The same days by temperature: hours' means, from each day's start on; a day on which the clocks change has 23 or 25. */
export const TemperatureCarpet = z.object({
  bed: Id,
  quantity: z.enum(['air-temp', 'soil-temp']),
  days: z.array(
    z.object({
      date: CalendarDate,
      /** 1440, but where the clocks change */
      lengthMin: z.number(),
      /** null: not measured, or not come yet */
      meanC: z.array(z.number().nullable()),
    }),
  ),
})
export type TemperatureCarpet = z.infer<typeof TemperatureCarpet>

/** Beds side by side over the same days. */
export const SunComparison = z.object({
  from: CalendarDate,
  to: CalendarDate,
  beds: z.array(
    z.object({
      bed: Id,
      name: z.string(),
      /** days on which enough was measured */
      days: z.int(),
      /** mean over these; null: there are none */
      sunHours: z.number().nullable(),
      /** mean over the same days, none less than it had; where there are none, over all days asked for */
      possibleSunHours: z.number(),
      /** its best day */
      mostSunHours: z.number().nullable(),
      /** days with six hours of sun and more */
      daysWithSixHours: z.int(),
      /** by these possible hours */
      label: SunLabel,
    }),
  ),
})
export type SunComparison = z.infer<typeof SunComparison>
