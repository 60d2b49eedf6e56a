/**
 * What is to come in a garden's beds, as the API and the warnings ask for it. This folder keeps each bed's forecast
 * state, asks public services where the grower has switched one on, and says who spoke. It may import core, shared and
 * port files; hub/main.ts hands the parts in.
 */
import type { ForecastInput } from '../../shared/api/forecast.js'
import type { Garden } from '../../shared/api/garden.js'
import type { BedForecast } from '../core/forecast/bed-outlook.js'
import type { ForecastPoint } from '../core/forecast/public-correction.js'
import type { SpellOdds } from '../core/forecast/warm-spell-odds.js'

/** What is to come in one bed. */
export interface BedAhead {
  readonly bed: string
  /** null: nothing was ever measured here, and no public forecast is fresh */
  readonly forecast: BedForecast | null
  /** one plain sentence: who spoke and what it rests on, or why nobody did */
  readonly words: string
  /** recent enough to warn by */
  readonly isFresh: boolean
  /** too few days are known here yet for odds to be taken at their word */
  readonly isFirstSeason: boolean
  /** the public source, where one spoke */
  readonly publicSource: { readonly name: string; readonly attribution: string | null } | null
  /** Chance of so many days in a row above a temperature, today included; null without a forecast. */
  spellOdds(thresholdC: number, spellDays: number): SpellOdds | null
}

/** A forecast that somebody sent, or a service answered with. */
export interface ReceivedForecast {
  readonly source: string
  readonly attribution: string | null
  readonly issuedAtMs: number
  /** as sent */
  readonly points: readonly ForecastPoint[]
}

/** As it was sent, times as UTC ms. @param nowMs  when it came, for one that does not say when it was made */
export const receivedForecast = (
  { source, attribution, issuedAt, points }: ForecastInput,
  nowMs: number,
): ReceivedForecast => ({
  source,
  attribution,
  issuedAtMs: issuedAt === null ? nowMs : Date.parse(issuedAt),
  points: points.map(({ time, airTempC }) => ({ validAtMs: Date.parse(time), airTempC })),
})

/** The newest public forecast of a garden and how its source is doing. */
export interface PublicStatus {
  readonly source: string
  readonly attribution: string | null
  /** waiting: none has come yet */
  readonly state: 'fresh' | 'stale' | 'waiting'
  readonly issuedAtMs: number | null
  readonly fetchedAtMs: number | null
  /** null: it is sent to the hub */
  readonly nextTryAtMs: number | null
  /** what went wrong last; null: nothing */
  readonly problem: string | null
  readonly points: readonly ForecastPoint[]
}

export interface Forecasts {
  /** Never rejects for want of data: the answer then says what is missing. */
  ahead(garden: Garden, bed: string): Promise<BedAhead>
  /**
   * Keeps a forecast from anyone's own source; durable when it resolves.
   *
   * @returns why it is not taken, in plain words; null: it is
   */
  take(garden: string, forecast: ReceivedForecast): Promise<string | null>
  /** null: no source has been switched on, and nothing was ever sent */
  publicStatus(garden: string): Promise<PublicStatus | null>
}
