/** When to sow and where, in one garden. Implemented by season-plan.ts. */
import type { Garden } from '../../shared/api/garden.js'
import type { PlanBasis, PlanWeather } from '../../shared/api/plan.js'
import type { KnownCrop } from '../core/crops/garden-crops.js'
import type { BedOffer, RankedBed } from '../core/plan/bed-ranking.js'
import type { Climate } from '../core/plan/climate.js'
import type { SowingSoil } from '../core/plan/soil-for-sowing.js'
import type { SowingWay } from '../core/plan/sowing-run.js'
import type { SowingWeek } from '../core/plan/sowing-week.js'
import type { YearPlan } from '../core/plan/year-plan.js'

/** One of the things a plan may rest on. */
export interface PossibleBasis {
  readonly basis: PlanBasis
  /** null: not there, and words say why */
  readonly climate: Climate | null
  readonly words: string
}

export interface PlanFigures {
  readonly basis: PossibleBasis | null
  readonly bases: readonly PossibleBasis[]
  readonly from: string
  /** null without a basis */
  readonly year: YearPlan | null
  /** mean of the month around each week's first day, °C */
  readonly usualMeanC: readonly number[]
  readonly soil: SowingSoil | null
}

export interface BedsFigures {
  readonly week: SowingWeek
  readonly beds: readonly (RankedBed &
    Pick<BedOffer, 'expectedSunHours' | 'possibleSunHours' | 'warmerByC'>)[]
}

export interface SeasonPlans {
  /**
   * A crop's year. What it rests on: as asked, else what the garden has measured, else normals, else a chosen year.
   *
   * @param from  first day of the first week; null: the Monday of this week
   */
  plan(garden: Garden, crop: KnownCrop, basis: PlanBasis | null, from: string | null): Promise<PlanFigures>
  /** @returns null: there is nothing to plan by */
  beds(
    garden: Garden,
    crop: KnownCrop,
    basis: PlanBasis | null,
    way: SowingWay,
    sowOn: string,
  ): Promise<BedsFigures | null>
  weather(garden: string): Promise<PlanWeather | null>
  /** @throws WeatherFileError  with what is wrong with the file */
  putWeather(garden: Garden, name: string, csv: string): Promise<PlanWeather>
}

/** What is wrong with a file of weather, for whoever chose it. */
export class WeatherFileError extends Error {
  constructor(message: string) {
    super(message)
    this.name = 'WeatherFileError'
  }
}
