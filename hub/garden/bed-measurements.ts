/**
 * What was measured and computed for a bed (measured.ts): joins its series, its day records and the sun of a day,
 * and sees to it that no kept day record outlives the readings it rests on.
 */
import type { Garden, Planting } from '../../shared/api/garden.js'
import type { DayRecord } from '../../shared/api/measurements.js'
import { localDate, localDay } from '../../shared/local-time.js'
import { findGardenCrop } from '../core/crops/garden-crops.js'
import { type DayOptions, DEFAULT_DAY_OPTIONS } from '../core/days/day-record.js'
import { allGone } from '../core/journal/journal-rules.js'
import { placedDaySun } from '../core/sun/placed-day.js'
import { sunTimes } from '../core/sun/sun-times.js'
import type { Reading, ReadingStore } from '../store/port.js'
import { createAppendLedger } from './append-ledger.js'
import { createBedDays } from './bed-days.js'
import { createBedSeries } from './bed-series.js'
import { createBedTemperatures } from './bed-temperatures.js'
import { areKept, cropDayOptions, optionsText } from './crop-days.js'
import {
  influenceMs,
  LIGHT_FLAGS_REACH_MS,
  SETTLED_MS,
  type TouchedDays,
  touchedDays,
} from './day-influence.js'
import { monthOf } from './learning-window.js'
import type { BedMeasurements } from './measured.js'
import { createPastYears } from './past-years.js'
import { plantingProgress, progressDates } from './planting-progress.js'
import { plantingReport } from './planting-report.js'
import { type PlantingSeason, plantingSeason } from './planting-season.js'
import { GardenError, type GardenRepository } from './port.js'
import { createSunCarpets } from './sun-carpet.js'
import { createSunLearning } from './sun-learning.js'

export function createBedMeasurements(deps: {
  readonly store: ReadingStore
  readonly garden: GardenRepository
  readonly now: () => number
}): BedMeasurements {
  const { store, garden: repository, now } = deps
  const series = createBedSeries(store, repository)
  const ledger = createAppendLedger()
  const newestKept = createNewestKept(repository)
  const learning = createSunLearning({
    series,
    garden: repository,
    ledger,
    now,
    onKeep: (garden, cutMs) => newestKept.raise(garden, cutMs),
  })
  const bedDays = createBedDays({
    series,
    garden: repository,
    ledger,
    learning,
    now,
    onKeep: (garden, lastEndMs) => newestKept.raise(garden, lastEndMs),
  })
  const carpets = createSunCarpets({
    series,
    garden: repository,
    ledger,
    learning,
    now,
    onKeep: (garden, lastEndMs) => newestKept.raise(garden, lastEndMs),
  })
  const temperatures = createBedTemperatures(series, now)
  const inTurn = createTurns()

  const requireGarden = async (id: string): Promise<Garden> => {
    const garden = await repository.getGarden(id)
    if (!garden) throw new GardenError('UNKNOWN_GARDEN', `There is no garden "${id}".`)
    return garden
  }

  const days = async (
    gardenId: string,
    bed: string,
    fromDate: string,
    toDate: string,
    options: DayOptions,
    keep = areKept(options),
  ): Promise<DayRecord[]> => {
    const garden = await requireGarden(gardenId)
    const compute = (): Promise<DayRecord[]> => bedDays.compute(garden, bed, fromDate, toDate, options, keep)
    if (!keep || localDay(fromDate, garden.timeZone).endMs > now() - SETTLED_MS) return compute()
    // a second one who asks for the same season finds it in the cache
    return inTurn(`${gardenId}/${bed}/${optionsText(options)}`, compute)
  }

  const pastYears = createPastYears({ garden: repository, warmth: temperatures.warmth })

  const season = async (gardenId: string, planting: Planting): Promise<PlantingSeason> => {
    const [garden, crops, observations, entries] = await Promise.all([
      requireGarden(gardenId),
      repository.listCrops(gardenId),
      repository.listObservations(gardenId, planting.id),
      repository.listJournal(gardenId, { planting: planting.id }),
    ])
    const nowMs = now()
    const day = localDay(localDate(nowMs, garden.timeZone), garden.timeZone)
    const known = findGardenCrop(planting.crop, crops) ?? null
    const dates = progressDates(planting, day.date)
    const options = known ? cropDayOptions(known.crop) : DEFAULT_DAY_OPTIONS
    return plantingSeason({
      planting,
      known,
      records: dates ? await days(gardenId, planting.bed, dates.from, dates.to, options, true) : [],
      observations,
      gone: allGone(planting.plants, known?.crop ?? null, entries),
      today: { date: day.date, elapsed: (nowMs - day.startMs) / (day.endMs - day.startMs) },
      dayLengthHours: (date) => sunTimes(localDay(date, garden.timeZone), garden).daylightHours,
    })
  }

  /** Readings that touch days kept, or that may be, or something learned. */
  const lateOf = async (garden: string, readings: readonly Reading[]): Promise<Reading[]> => {
    const newestMs = await newestKept.endMs(garden)
    return readings.filter((r) => {
      const reach = influenceMs(r.quantity)
      return reach !== null && r.timeMs - reach < newestMs
    })
  }

  const daysTouched = async (garden: string, late: readonly Reading[]): Promise<TouchedDays[]> => {
    const [known, placements] = await Promise.all([
      repository.getGarden(garden),
      repository.listPlacements(garden),
    ])
    return known ? touchedDays(late, placements, known.timeZone) : []
  }

  const forgetTouched = async (byGarden: ReadonlyMap<string, readonly Reading[]>): Promise<void> => {
    for (const [garden, readings] of byGarden) {
      const late = await lateOf(garden, readings)
      if (late.length === 0) continue
      for (const { bed, fromDate, toDate } of await daysTouched(garden, late)) {
        await repository.forgetDays(garden, bed, fromDate, toDate)
      }
      const light = late.filter((r) => r.quantity === 'light' || r.quantity === 'irradiance')
      if (light.length === 0) continue
      learning.forget(garden)
      const times = light.map((r) => r.timeMs)
      await repository.forgetLearnedSun(
        garden,
        least(times) - LIGHT_FLAGS_REACH_MS,
        -least(times.map((ms) => -ms)) + LIGHT_FLAGS_REACH_MS + 1,
      )
    }
  }

  return {
    quantities: (garden, bed) => series.quantities(garden, bed),

    async readRange(garden, bed, quantity, fromMs, toMs) {
      const [segments] = await series.segments(garden, bed, [quantity])
      return series.readRange(garden, quantity, segments!, fromMs, toMs)
    },

    async countRange(garden, bed, quantity, fromMs, toMs) {
      const [segments] = await series.segments(garden, bed, [quantity])
      return series.countRange(garden, quantity, segments!, fromMs, toMs)
    },

    async readSteps(garden, bed, quantity, fromMs, toMs, stepMs) {
      const [segments] = await series.segments(garden, bed, [quantity])
      return series.readSteps(garden, quantity, segments!, fromMs, toMs, stepMs)
    },

    latest: (garden, bed) => series.latest(garden, bed, now()),

    days: (gardenId, bed, fromDate, toDate, asked = {}) =>
      days(gardenId, bed, fromDate, toDate, { ...DEFAULT_DAY_OPTIONS, ...asked }),

    async temperatures(gardenId, bed, fromDate, toDate) {
      return temperatures.days(await requireGarden(gardenId), bed, fromDate, toDate)
    },

    season,

    async report(gardenId, planting) {
      const [garden, found, normals] = await Promise.all([
        requireGarden(gardenId),
        season(gardenId, planting),
        repository.getTemperatureNormals(gardenId),
      ])
      const past = found.known
        ? await pastYears.of(garden, planting.bed, cropDayOptions(found.known.crop), found.today.date)
        : []
      return plantingReport(found, past, normals)
    },

    progress: async (gardenId, planting) => plantingProgress(await season(gardenId, planting)),

    async sun(gardenId, bed, date) {
      const garden = await requireGarden(gardenId)
      const day = localDay(date, garden.timeZone)
      const { placed } = await learning.skyOf(garden, bed, monthOf(date))
      return placedDaySun(day, await bedDays.readLight(garden, bed, day), garden, now(), placed)
    },

    async sky(gardenId, bed, date) {
      return learning.skyOf(await requireGarden(gardenId), bed, monthOf(date))
    },

    async carpet(gardenId, bed, fromDate, toDate) {
      return carpets.days(await requireGarden(gardenId), bed, fromDate, toDate)
    },

    async appendAndForget(readings, append) {
      const byGarden = groupByGarden(readings)
      const endAppend = ledger.beginAppend(readings)
      let outcome: { stored: number; repeated: number }
      try {
        // before: a crash between the append and the forgetting must leave nothing stale behind
        await forgetTouched(byGarden)
        outcome = await append()
      } finally {
        endAppend()
      }
      // after: what another process may have kept meanwhile
      await forgetTouched(byGarden)
      return outcome
    },

    async forget(garden, bed) {
      const beds = bed === undefined ? (await repository.listBeds(garden)).map((b) => b.id) : [bed]
      for (const id of beds) await repository.forgetDays(garden, id)
    },
  }
}

/** Math.min takes no more than some ten thousands of arguments. */
const least = (values: readonly number[]): number =>
  values.reduce((least, value) => Math.min(least, value), Number.POSITIVE_INFINITY)

function groupByGarden(readings: readonly Reading[]): Map<string, Reading[]> {
  const groups = new Map<string, Reading[]>()
  for (const reading of readings) {
    const group = groups.get(reading.garden)
    if (group) group.push(reading)
    else groups.set(reading.garden, [reading])
  }
  return groups
}

/**
 * Up to when anything is kept, by garden: readings that reach no further back touch nothing, and need no look at
 * the garden's database. Ordinary live readings are like that.
 */
function createNewestKept(repository: GardenRepository): {
  endMs(garden: string): Promise<number>
  raise(garden: string, endMs: number): void
} {
  const newest = new Map<string, number>()
  const known = (garden: string): number => newest.get(garden) ?? Number.NEGATIVE_INFINITY
  const raise = (garden: string, endMs: number): void => {
    newest.set(garden, Math.max(known(garden), endMs))
  }
  const loaded = new Map<string, Promise<void>>()
  const load = async (id: string): Promise<void> => {
    const [garden, date, cutMs] = await Promise.all([
      repository.getGarden(id),
      repository.newestCachedDay(id),
      repository.newestLearnedCutMs(id),
    ])
    if (garden && date !== null) raise(id, localDay(date, garden.timeZone).endMs)
    if (cutMs !== null) raise(id, cutMs)
  }
  return {
    async endMs(garden) {
      let loading = loaded.get(garden)
      if (!loading) {
        loading = load(garden)
        loaded.set(garden, loading)
        loading.catch(() => loaded.delete(garden))
      }
      await loading
      return known(garden)
    },
    raise,
  }
}

/** Runs work of one key one after the other. */
function createTurns(): <T>(key: string, work: () => Promise<T>) => Promise<T> {
  const last = new Map<string, Promise<unknown>>()
  return <T>(key: string, work: () => Promise<T>): Promise<T> => {
    const before = last.get(key) ?? Promise.resolve()
    const mine = before.then(work, work)
    last.set(key, mine)
    const clear = (): void => {
      if (last.get(key) === mine) last.delete(key)
    }
    mine.then(clear, clear)
    return mine
  }
}
