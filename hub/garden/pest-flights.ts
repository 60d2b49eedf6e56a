/** When pests of the cabbage family fly in a garden: its own air since the year began, and how it may go on. */
import type { Garden } from '../../shared/api/garden.js'
import type { TemperatureNormals } from '../../shared/api/normals.js'
import { addDays, daysBetween, localDay } from '../../shared/local-time.js'
import { warmthFromNormals } from '../core/crops/normal-futures.js'
import { yearsFrom } from '../core/crops/projection.js'
import { interval80 } from '../core/forecast/normal-odds.js'
import {
  type AirDay,
  airWarmth,
  type Futures,
  nextSeasonStart,
  type PestFlight,
  pestFlight,
  seasonStart,
  warmthAbove,
} from '../core/tasks/pest-flight.js'
import { PESTS, type Pest } from '../core/tasks/pest-table.js'
import type { BedAhead, Forecasts } from '../forecast/port.js'
import type { BedMeasurements, TemperatureDay } from './measured.js'
import { withPatience } from './patience.js'
import type { GardenRepository, StoredPlacement } from './port.js'

/** The first pests fly within so many days of the day they are counted from, or not at all … */
const FIRST_WITHIN_DAYS = 200
/** … and so do later broods. */
const LATER_WITHIN_DAYS = 300
const MOST_YEARS = 6
const DAYS_A_YEAR = 366
const FEWEST_YEARS = 3
const PACE_DAYS = 14
/** Slower than this there is nothing to tell a date from, °C·d a day. */
const LEAST_PACE_C = 0.5
/** Whoever asks waits for this long for past years; later they are there. */
const PATIENCE_MS = 4_000

export interface PestFlights {
  of(garden: Garden, today: string, normals: TemperatureNormals | null): Promise<PestFlight[]>
}

export function createPestFlights(deps: {
  readonly garden: GardenRepository
  readonly measurements: Pick<BedMeasurements, 'temperatures'>
  readonly forecasts: Pick<Forecasts, 'ahead'>
}): PestFlights {
  const { garden: repository, measurements, forecasts } = deps
  const past = new Map<string, Promise<TemperatureDay[]>>()

  /** Null: they are still being added up. */
  const pastDays = async (garden: Garden, bed: string, from: string, today: string) => {
    const key = `${garden.id}/${bed}/${from}/${today}`
    let loading = past.get(key)
    if (!loading) {
      for (const old of past.keys()) if (!old.endsWith(`/${today}`)) past.delete(old)
      loading = measurements.temperatures(garden.id, bed, from, addDays(today, -1))
      past.set(key, loading)
      // a failure is told to who asked, and not kept for the next
      loading.catch(() => past.delete(key))
    }
    return withPatience(loading, PATIENCE_MS)
  }

  return {
    async of(garden, today, normals) {
      const start = seasonStart(today, garden.latitudeDeg)
      const placements = await repository.listPlacements(garden.id)
      const record = longestRecord(placements, garden, start, today)
      const days =
        record === null
          ? []
          : (await measurements.temperatures(garden.id, record.bed, start, today)).map(airDay)
      const years =
        record === null || record.from > addDays(today, -DAYS_A_YEAR)
          ? []
          : await pastDays(garden, record.bed, record.from, today)
      const ahead = record === null ? null : await forecasts.ahead(garden, record.bed)
      const pests = PESTS.filter((pest) => garden.latitudeDeg >= 0 || pest.isInSouth)
      const measured = whole(days, start, today)
      const next = nextSeasonStart(start)
      return pests.flatMap((pest) => {
        const way = (countedFrom: string, withinDays: number): Futures =>
          futuresOf(pest, { countedFrom, today, days, years, normals, ahead }, withinDays)
        const common = { pest, today, normals }
        const now = { ...common, countedFrom: start, days: measured }
        const futures = [
          way(start, FIRST_WITHIN_DAYS),
          ...(pest.broods.length > 1 ? [way(start, LATER_WITHIN_DAYS)] : []),
        ]
        return [
          ...pest.broods.map((_, brood) =>
            pestFlight({ ...now, brood, futures: futures[Math.min(brood, 1)]! }),
          ),
          pestFlight({
            ...common,
            brood: 0,
            countedFrom: next,
            days: [],
            futures: way(next, FIRST_WITHIN_DAYS),
          }),
        ]
      })
    },
  }
}

const airDay = ({ date, airTempMinC, airTempMaxC, airCoverage }: TemperatureDay): AirDay => ({
  date,
  minC: airTempMinC,
  maxC: airTempMaxC,
  coverage: airCoverage,
})

/** Without a record every day is one that was not measured. */
function whole(days: readonly AirDay[], from: string, today: string): readonly AirDay[] {
  if (days.length > 0) return days
  return Array.from({ length: daysBetween(from, today) + 1 }, (_, i) => ({
    date: addDays(from, i),
    minC: null,
    maxC: null,
    coverage: 0,
  }))
}

interface Known {
  readonly countedFrom: string
  readonly today: string
  readonly days: readonly AirDay[]
  /** null: still being added up */
  readonly years: readonly TemperatureDay[] | null
  readonly normals: TemperatureNormals | null
  readonly ahead: BedAhead | null
}

/** As for plantings (season-ahead.ts): past years of the garden, else normals, else the pace of the last days. */
function futuresOf(pest: Pest, known: Known, withinDays: number): Futures {
  const { countedFrom, today, days, years, normals, ahead } = known
  const baseC = pest.baseC.value
  const horizon = Math.max(0, daysBetween(today, countedFrom)) + withinDays
  const own = years === null ? [] : yearsFrom(warmthAbove(years.map(airDay), baseC), today, horizon)
  const limits = { baseC, upperC: Number.POSITIVE_INFINITY, cutoff: 'none' } as const
  if (own.length < FEWEST_YEARS && normals !== null) {
    const sequences = warmthFromNormals(normals, limits, today, horizon)
    return withForecast({ sequences, words: 'the usual temperatures you typed in' }, baseC, ahead)
  }
  if (own.length > 0) {
    const words =
      own.length === 1 ? 'the one past year measured here' : `the ${own.length} past years measured here`
    return withForecast({ sequences: own, words }, baseC, ahead)
  }
  const recent = warmthAbove(days, baseC)
    .filter(({ date, degreeDaysC }) => date < today && degreeDaysC !== null)
    .slice(-PACE_DAYS)
  const paceC = recent.reduce((sum, { degreeDaysC }) => sum + (degreeDaysC ?? 0), 0) / recent.length
  if (countedFrom > today || !(paceC >= LEAST_PACE_C)) {
    return { sequences: [], words: 'nothing: no past years and no usual temperatures are known here' }
  }
  const words =
    years === null
      ? 'the pace of the last two weeks, while past years are being added up: look again in a minute'
      : 'the pace of the last two weeks, and how far off that may be is not known: type in your region’s usual temperatures for a better guess'
  return { sequences: [new Float64Array(horizon).fill(paceC)], words }
}

/** The next days are better known than any past year has them. */
function withForecast(futures: Futures, baseC: number, ahead: BedAhead | null): Futures {
  if (!ahead?.forecast || !ahead.isFresh) return futures
  const next = ahead.forecast.days
    .filter(({ leadDays }) => leadDays >= 1)
    .map(({ minC, maxC }) => airWarmth(interval80(minC).middleC, interval80(maxC).middleC, baseC))
  if (next.length === 0) return futures
  return {
    sequences: futures.sequences.map((sequence) => sequence.map((c, i) => next[i] ?? c)),
    words: `the forecast for ${next.length} days and ${futures.words}`,
  }
}

/** The bed that was measured on most days since a date, and since when it has been. */
function longestRecord(
  placements: readonly StoredPlacement[],
  { timeZone }: Garden,
  start: string,
  today: string,
): { readonly bed: string; readonly from: string } | null {
  const startMs = localDay(start, timeZone).startMs
  const endMs = localDay(today, timeZone).endMs
  const measuredMs = new Map<string, number>()
  for (const { bed, fromMs, toMs } of placements) {
    const stood = Math.min(toMs ?? endMs, endMs) - Math.max(fromMs, startMs)
    if (stood > 0) measuredMs.set(bed, stood + (measuredMs.get(bed) ?? 0))
  }
  const [best] = [...measuredMs].sort(([a, aMs], [b, bMs]) => bMs - aMs || (a < b ? -1 : 1))
  if (!best) return null
  const firstMs = Math.min(...placements.filter(({ bed }) => bed === best[0]).map(({ fromMs }) => fromMs))
  const since = Math.min(Math.ceil((endMs - firstMs) / 86_400_000), MOST_YEARS * DAYS_A_YEAR)
  return { bed: best[0], from: addDays(today, -since) }
}
