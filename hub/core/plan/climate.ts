/**
 * The weather a plan counts on: several ways in which a year may go at this place. Each way is a whole year of days, gone
 * through round and round (after its December comes its own January), so that an autumn sowing finds a winter.
 */
import { smoothed } from './year-slots.js'

/** One way in which a year may go. All arrays have 365 entries (year-slots.ts), none missing. */
export interface YearOfWeather {
  readonly minC: Float64Array
  readonly maxC: Float64Array
  readonly meanC: Float64Array
  /** soil at sowing depth, daily mean */
  readonly soilC: Float64Array
}

export type ClimateBasis = 'garden days' | 'normals' | 'chosen year'

export interface Climate {
  readonly basis: ClimateBasis
  /** a sentence for the page: what the plan rests on */
  readonly words: string
  readonly years: readonly YearOfWeather[]
  /** usual mean temperature of the month around each day, °C: what monthly tables of crops mean */
  readonly usualMeanC: Float64Array
  /** usual soil temperature of each day, the week around it, °C */
  readonly usualSoilC: Float64Array
  readonly soilBasis: 'measured' | 'from air'
}

const MONTH_DAYS = 31
const WEEK_DAYS = 7

/** Puts the usual beside the years. @throws RangeError  without a year */
export function climateOf(
  basis: ClimateBasis,
  words: string,
  years: readonly YearOfWeather[],
  soilBasis: Climate['soilBasis'],
): Climate {
  if (years.length === 0) throw new RangeError('a climate needs at least one year of weather')
  const usual = (pick: (year: YearOfWeather) => Float64Array): Float64Array =>
    Float64Array.from(
      pick(years[0]!),
      (_, slot) => years.reduce((sum, year) => sum + pick(year)[slot]!, 0) / years.length,
    )
  return {
    basis,
    words,
    years,
    usualMeanC: monthAround(usual((year) => year.meanC)),
    usualSoilC: smoothed(
      usual((year) => year.soilC),
      WEEK_DAYS,
    ),
    soilBasis,
  }
}

/** Mean of the month around each day. */
export const monthAround = (meanC: Float64Array): Float64Array => smoothed(meanC, MONTH_DAYS)
