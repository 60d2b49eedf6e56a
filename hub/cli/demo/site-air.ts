/**
 * Air temperature over the garden: the season's mean, weather systems that come and go over days, and the day's
 * own warming and cooling, which follows the radiation with the inertia of ground and air.
 */
import { Noise } from './noise.js'

const DAY_MINUTES = 1440

export interface Climate {
  readonly annualMeanC: number
  /** half the difference between the warmest and the coldest time of year */
  readonly seasonalAmplitudeC: number
}

/** A stretch of warmer days laid over the weather: full strength from start to end, a day's ramp on either side. */
export interface WarmSpell {
  readonly fromDay: number
  readonly toDay: number
  readonly upByC: number
}

/** Day-to-day departures from the season's mean: standard deviation, and how much of one day's lasts to the next. */
const SYNOPTIC_SD_C = 2.2
const SYNOPTIC_PERSISTENCE = 0.7
/** Warmest about 30 days after midsummer (inertia of sea and soil). */
const WARMEST_SEASON_DAY = 203
/** The air's response to radiation: °C per W/m² in balance, time constant, cooling to a clear night sky. */
const C_PER_WM2 = 0.017
const RESPONSE_MINUTES = 210
const CLEAR_NIGHT_COOLING_C = 6
/** part of the clear-sky daily mean that reaches the ground on an average day, and the average sky's covering */
const MEAN_CLEARNESS = 0.68
const MEAN_COVER = 0.45

/**
 * The season's mean temperature.
 *
 * @param seasonDay  day of the year where the garden north of the equator, half a year later where south
 */
export function seasonalMeanC(climate: Climate, seasonDay: number): number {
  const phase = (2 * Math.PI * (seasonDay - WARMEST_SEASON_DAY)) / 365.25
  return climate.annualMeanC + climate.seasonalAmplitudeC * Math.cos(phase)
}

export class SiteAir {
  private readonly noise: Noise
  private readonly synopticC = new Map<number, number>()
  private departureC = 0

  constructor(
    seed: number,
    private readonly climate: Climate,
    private readonly warmSpell: WarmSpell,
    private readonly seasonDayOf: (day: number) => number,
  ) {
    this.noise = new Noise(seed, 'weather systems')
  }

  /**
   * Temperature of the next minute; call with consecutive minutes.
   *
   * @param minute            since 1970, local solar time
   * @param globalWm2         irradiance at the open site
   * @param clearDayMeanWm2   mean over the day of what a clear sky would give
   * @param cover             part of the sky covered, 0 to 1
   */
  next(minute: number, globalWm2: number, clearDayMeanWm2: number, cover: number): number {
    const warming = C_PER_WM2 * (globalWm2 - MEAN_CLEARNESS * clearDayMeanWm2)
    const cooling = CLEAR_NIGHT_COOLING_C * (MEAN_COVER - cover) * 0.85
    this.departureC += (warming - cooling - this.departureC) / RESPONSE_MINUTES
    return this.meanC(minute / DAY_MINUTES) + this.departureC
  }

  /** Season and weather systems without the day's own course, at a day with its fraction; smooth in time. */
  private meanC(day: number): number {
    const noon = Math.floor(day - 0.5)
    const fraction = day - 0.5 - noon
    const blend = (1 - Math.cos(Math.PI * fraction)) / 2
    const before = this.systemC(noon) + this.spellC(noon)
    const after = this.systemC(noon + 1) + this.spellC(noon + 1)
    return seasonalMeanC(this.climate, this.seasonDayOf(day)) + before + blend * (after - before)
  }

  /** First-order autoregression, as the weighted sum of the shocks of the last weeks: needs no past to be kept. */
  private systemC(day: number): number {
    const known = this.synopticC.get(day)
    if (known !== undefined) return known
    let sum = 0
    let weight = Math.sqrt(1 - SYNOPTIC_PERSISTENCE ** 2)
    for (let back = 0; back < 30; back++) {
      sum += weight * this.noise.normal(day - back)
      weight *= SYNOPTIC_PERSISTENCE
    }
    // inside the spell the warm air mass rules, with less of the usual ups and downs
    const value = SYNOPTIC_SD_C * sum * (this.spellC(day) > 0 ? 0.25 : 1)
    this.synopticC.set(day, value)
    return value
  }

  private spellC(day: number): number {
    const { fromDay, toDay, upByC } = this.warmSpell
    const outside = Math.max(fromDay - day, day - toDay, 0)
    return upByC * Math.max(0, 1 - outside / 2)
  }
}
