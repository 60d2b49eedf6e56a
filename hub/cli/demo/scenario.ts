/**
 * Where and when the demo plays. The garden is invented; its place is chosen so that, whatever today's date, it is
 * the growing half of the year there and a cool-season crop can be heading:
 * - north of the equator from the March to the September equinox, south of it otherwise;
 * - the first weeks of that half in a mild-winter climate (a crop planted out in winter heads now), the middle
 *   on a temperate coast, the last weeks where summers are cool.
 * Near today a warm spell comes over it, because that is what the hub is for.
 */
import type { GardenInput } from '../../../shared/api/garden.js'
import type { TemperatureNormals } from '../../../shared/api/normals.js'
import { addDays, dayOfYear, localDate, startOfDayMs } from '../../../shared/local-time.js'
import type { Place } from '../../core/readings.js'
import { type DemoBed, demoBeds } from './beds.js'
import type { DayKind } from './clouds.js'
import { type Climate, seasonalMeanC, type WarmSpell } from './site-air.js'

const DAY_MS = 86_400_000
export const HISTORY_DAYS = 122
const HALF_YEAR_DAYS = 182.6
const MARCH_EQUINOX = 79
const SEPTEMBER_EQUINOX = 266

/** Warm enough to matter (above 27 °C for hours), not a catastrophe. */
const SPELL_MAXIMUM_C = 30.5
/** a clear day's maximum over the season's mean */
const CLEAR_DAY_RISE_C = 6.5
/** how far a usual day's minimum and maximum lie from the season's mean */
const USUAL_MINIMUM_C = -4
const USUAL_MAXIMUM_C = 5
const SPELL_DAYS_BEFORE = 4
const SPELL_DAYS_AFTER = 2

interface DemoPlace {
  readonly where: string
  /** last season day (see Scenario.seasonDayOf) on which the demo plays here */
  readonly untilSeasonDay: number
  readonly place: Place
  readonly timeZone: string
  readonly climate: Climate
}

/** Rough coordinates of real climates (means rounded), so that sun and seasons are right; the garden is not there. */
const NORTH: readonly DemoPlace[] = [
  {
    where: 'a mild coast at 37° north',
    untilSeasonDay: 124,
    place: { latitudeDeg: 37.3, longitudeDeg: -7.2, elevationM: 20 },
    timeZone: 'Europe/Madrid',
    climate: { annualMeanC: 17, seasonalAmplitudeC: 6 },
  },
  {
    where: 'an ocean coast at 43° north',
    untilSeasonDay: 189,
    place: { latitudeDeg: 43.3, longitudeDeg: -8.3, elevationM: 40 },
    timeZone: 'Europe/Madrid',
    climate: { annualMeanC: 13, seasonalAmplitudeC: 5.5 },
  },
  {
    where: 'low country by the sea at 55° north',
    untilSeasonDay: 366,
    place: { latitudeDeg: 55.4, longitudeDeg: 9.2, elevationM: 15 },
    timeZone: 'Europe/Copenhagen',
    climate: { annualMeanC: 9.5, seasonalAmplitudeC: 7.5 },
  },
]
const SOUTH: readonly DemoPlace[] = [
  {
    where: 'a mild coast at 35° south',
    untilSeasonDay: 124,
    place: { latitudeDeg: -34.9, longitudeDeg: 138.6, elevationM: 40 },
    timeZone: 'Australia/Adelaide',
    climate: { annualMeanC: 16.5, seasonalAmplitudeC: 5.5 },
  },
  {
    where: 'an ocean coast at 41° south',
    untilSeasonDay: 189,
    place: { latitudeDeg: -41.3, longitudeDeg: 173.1, elevationM: 30 },
    timeZone: 'Pacific/Auckland',
    climate: { annualMeanC: 13, seasonalAmplitudeC: 5.5 },
  },
  {
    where: 'cool southern country at 46° south',
    untilSeasonDay: 366,
    place: { latitudeDeg: -46.3, longitudeDeg: 168.4, elevationM: 20 },
    timeZone: 'Pacific/Auckland',
    climate: { annualMeanC: 10.5, seasonalAmplitudeC: 5 },
  },
]

export interface Scenario {
  readonly seed: number
  /** when this demo was first started, UTC ms: its dates hang on it, so that a later start goes on from there */
  readonly startedAtMs: number
  readonly historyFromMs: number
  readonly isNorthern: boolean
  /** climate in words: "a mild coast at 37° north" */
  readonly where: string
  readonly garden: GardenInput
  /** of the invented climate, as a grower types them in */
  readonly normals: TemperatureNormals
  readonly place: Place
  readonly climate: Climate
  readonly warmSpell: WarmSpell
  readonly beds: readonly DemoBed[]
  /** days since 1970 with their fraction, by the sun's own time at the garden */
  solarDay(timeMs: number): number
  /** day of the year as it would be north of the equator (July is midsummer), from a solar day */
  seasonDayOf(solarDay: number): number
  /** kind of a day that belongs to the warm spell; null: leave it to chance */
  forcedDayKind(solarDay: number): DayKind | null
}

function usualTemperatures(climate: Climate, seasonDayOf: (solarDay: number) => number): TemperatureNormals {
  const meansC = Array.from({ length: 12 }, (_, month) =>
    seasonalMeanC(climate, seasonDayOf(month * 30.44 + 15)),
  )
  const rounded = (offsetC: number): number[] => meansC.map((meanC) => Math.round((meanC + offsetC) * 2) / 2)
  return {
    minC: rounded(USUAL_MINIMUM_C),
    maxC: rounded(USUAL_MAXIMUM_C),
    source: 'made up, like this garden',
  }
}

/** The scenario of a demo that was first started at an instant (UTC ms). */
export function scenarioFor(startedAtMs: number, seed: number, historyDays = HISTORY_DAYS): Scenario {
  const utcDay = dayOfYear(localDate(startedAtMs, 'UTC'))
  const isNorthern = utcDay > MARCH_EQUINOX && utcDay <= SEPTEMBER_EQUINOX
  const seasonDayNow = isNorthern ? utcDay : (utcDay + HALF_YEAR_DAYS) % 365.25
  const places = isNorthern ? NORTH : SOUTH
  const chosen = places.find(({ untilSeasonDay }) => seasonDayNow <= untilSeasonDay) ?? places.at(-1)!
  const { place, timeZone, climate, where } = chosen

  const solarDay = (timeMs: number): number => timeMs / DAY_MS + place.longitudeDeg / 360
  const seasonDayOf = (day: number): number => (day + (isNorthern ? 0 : HALF_YEAR_DAYS)) % 365.25
  const today = Math.floor(solarDay(startedAtMs))
  const warmSpell: WarmSpell = {
    fromDay: today - SPELL_DAYS_BEFORE,
    toDay: today + SPELL_DAYS_AFTER,
    upByC: Math.min(
      12,
      Math.max(4, SPELL_MAXIMUM_C - CLEAR_DAY_RISE_C - seasonalMeanC(climate, seasonDayNow)),
    ),
  }
  const firstDate = addDays(localDate(startedAtMs, timeZone), -historyDays)
  return {
    seed,
    startedAtMs,
    historyFromMs: startOfDayMs(firstDate, timeZone),
    isNorthern,
    where,
    garden: { name: 'Merrowfold (an invented garden)', ...place, timeZone },
    normals: usualTemperatures(climate, seasonDayOf),
    place,
    climate,
    warmSpell,
    beds: demoBeds(isNorthern),
    solarDay,
    seasonDayOf,
    forcedDayKind: (day) =>
      day >= warmSpell.fromDay - 1 && day <= warmSpell.toDay + 1 ? ('settled' as const) : null,
  }
}
