/**
 * One bed's forecast state, kept up to date from its readings: finished days are taken in once they have settled, the
 * last ones for the time being only. Late readings, a moved node or new normals make the bed's own part anew.
 */
import { setImmediate } from 'node:timers/promises'
import type { Garden } from '../../shared/api/garden.js'
import { addDays, daysBetween, type LocalDay, localDate, localDays } from '../../shared/local-time.js'
import {
  BED_FORECAST_VERSION,
  type BedForecastState,
  newBedForecast,
  newOwnDays,
  type OwnDays,
  withBedDay,
  withPublicForecast,
} from '../core/forecast/bed-forecast.js'
import type { MonthlyNormals } from '../core/forecast/seasonal-cycle.js'
import { COMPLETE_COVERAGE } from '../core/quality/completeness.js'
import type { ReadingColumns } from '../core/readings.js'
import type { BedMeasurements } from '../garden/measured.js'
import type { GardenRepository, StoredPlacement, StoredPublicForecast } from '../garden/port.js'

const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS
/** Readings may come in this long after their day: until then it is taken in for the time being only. */
const SETTLED_MS = 6 * HOUR_MS
/** A forecast learns nothing more from days older than these. */
const LONGEST_RECORD_DAYS = 3 * 366
const CHUNK_DAYS = 31
/** To begin again after late readings without the whole record. */
const CHECKPOINT_EVERY_DAYS = 5
/** Days are read from noon of the day before to past the first reading after (core/forecast/bed-forecast.ts). */
const BEFORE_MS = 12 * HOUR_MS
const AFTER_MS = 2 * HOUR_MS
/** So many of the last maxima are held against the day records when the hub starts. */
const CHECKED_DAYS = 14

export interface CurrentState {
  readonly state: BedForecastState
  /** the public source that the state has learned from; null: none */
  readonly publicSource: string | null
}

export interface BedState {
  /** The state with every finished day taken in, and the newest public forecast. */
  current(garden: Garden, nowMs: number): Promise<CurrentState>
  /** A reading of an earlier time came in from a node, whether it stood here or not. */
  late(node: string, timeMs: number): void
}

export interface BedStateDeps {
  readonly garden: GardenRepository
  readonly measurements: BedMeasurements
}

interface Kept {
  basis: string
  committed: BedForecastState
  publicSource: string | null
  /** own days as they were on earlier dates, oldest first */
  checkpoints: OwnDays[]
}

/** What is kept as text. */
interface KeptText {
  readonly state: BedForecastState
  readonly publicSource: string | null
}

export function createBedState(deps: BedStateDeps, bed: string): BedState {
  const { garden: repository, measurements } = deps
  let kept: Kept | null = null
  /** by node, the earliest */
  let late = new Map<string, number>()
  let turn: Promise<unknown> = Promise.resolve()

  const save = async (garden: string): Promise<void> => {
    const text: KeptText = { state: kept!.committed, publicSource: kept!.publicSource }
    await repository.keepBedForecast(garden, bed, {
      version: BED_FORECAST_VERSION,
      basis: kept!.basis,
      state: JSON.stringify(text),
    })
  }

  /** The kept state where it still rests on the same ground, else one whose own days are to be taken in anew. */
  const load = async (garden: Garden, basis: string, normals: MonthlyNormals | null): Promise<Kept> => {
    const stored = await repository.bedForecast(garden.id, bed)
    if (stored?.version !== BED_FORECAST_VERSION) {
      return { basis, committed: newBedForecast(garden, normals), publicSource: null, checkpoints: [] }
    }
    const { state, publicSource } = JSON.parse(stored.state) as KeptText
    const isSame = stored.basis === basis && (await agrees(garden, state.own))
    const committed = isSame ? state : { ...state, own: newOwnDays(garden, normals) }
    // what a region's forecast says of one place says nothing of another
    if (!isSame && placeOf(stored.basis) !== placeOf(basis)) {
      return { basis, committed: newBedForecast(garden, normals), publicSource: null, checkpoints: [] }
    }
    return { basis, committed, publicSource, checkpoints: [] }
  }

  /** Readings that came in while the hub was stopped half-way show in the day records. */
  const agrees = async (garden: Garden, { lastDate, recentMaximaC }: OwnDays): Promise<boolean> => {
    if (lastDate === null) return true
    const maximaC = recentMaximaC.slice(-CHECKED_DAYS)
    if (maximaC.length === 0) return true
    const records = await measurements.days(garden.id, bed, addDays(lastDate, 1 - maximaC.length), lastDate)
    return records.every((record, i) => {
      const known = maximaC[i] ?? null
      // a day too thin for the forecast may have a maximum in its record all the same
      const measured = record.airCoverage < COMPLETE_COVERAGE ? null : record.airTempMaxC
      return known === null || measured === null ? known === measured : Math.abs(measured - known) < 0.01
    })
  }

  const read = (garden: Garden, days: readonly LocalDay[]): Promise<ReadingColumns> =>
    measurements.readRange(
      garden.id,
      bed,
      'air-temp',
      days[0]!.startMs - BEFORE_MS,
      days.at(-1)!.endMs + AFTER_MS,
    )

  /** Walks over days, a month of readings in memory at a time. */
  const walk = async (
    garden: Garden,
    fromDate: string,
    toDate: string,
    step: (day: LocalDay, airTemp: ReadingColumns) => void,
  ): Promise<void> => {
    const days = localDays(fromDate, toDate, garden.timeZone)
    for (let i = 0; i < days.length; i += CHUNK_DAYS) {
      const part = days.slice(i, i + CHUNK_DAYS)
      const chunk = await read(garden, part)
      for (const day of part) {
        step(day, within(chunk, day.startMs - BEFORE_MS, day.endMs + AFTER_MS))
        // other work gets its turn between two days
        await setImmediate()
      }
    }
  }

  const noteCheckpoint = (own: OwnDays): void => {
    const last = kept!.checkpoints.at(-1)
    if (own.lastDate === null) return
    if (last && daysBetween(last.lastDate!, own.lastDate) < CHECKPOINT_EVERY_DAYS) return
    kept!.checkpoints.push(own)
  }

  /** Takes back what rests on days from this instant on. */
  const takeBack = (garden: Garden, normals: MonthlyNormals | null, fromMs: number): void => {
    const { committed } = kept!
    const { lastDate } = committed.own
    const staleDate = localDate(fromMs - AFTER_MS, garden.timeZone)
    if (lastDate === null || staleDate > lastDate) return
    kept!.checkpoints = kept!.checkpoints.filter((own) => own.lastDate! < staleDate)
    kept!.committed = { ...committed, own: kept!.checkpoints.at(-1) ?? newOwnDays(garden, normals) }
  }

  const update = async (garden: Garden, nowMs: number): Promise<CurrentState> => {
    const [normals, all, forecasts] = await Promise.all([
      repository.getTemperatureNormals(garden.id),
      repository.listPlacements(garden.id, bed),
      repository.publicForecasts(garden.id),
    ])
    const basis = basisOf(garden, normals, all)
    if (kept === null || kept.basis !== basis) kept = await load(garden, basis, normals)
    // readings that come in meanwhile are for the next time
    const earliestMs = earliestHere(late, all)
    late = new Map()
    if (earliestMs !== null) takeBack(garden, normals, earliestMs)

    const today = localDate(nowMs, garden.timeZone)
    const first = firstDate(all, garden, today)
    const around = { place: garden, timeZone: garden.timeZone }
    const isNew = takeInForecast(kept, forecasts, nowMs, around)
    const taughtUntil = kept.committed.own.lastDate
    const settledDate = addDays(localDate(nowMs - SETTLED_MS, garden.timeZone), -1)
    let unsettled = kept.committed
    if (first !== null) {
      const from = taughtUntil === null || taughtUntil < first ? first : addDays(taughtUntil, 1)
      await walk(garden, from, addDays(today, -1), (day, airTemp) => {
        // what public forecasts have learned from a day once they do not learn again: nothing is due any more
        unsettled = withBedDay(unsettled, day, airTemp, nowMs, around)
        if (day.date > settledDate) return
        kept!.committed = unsettled
        noteCheckpoint(unsettled.own)
      })
    }
    if (isNew || kept.committed.own.lastDate !== taughtUntil) await save(garden.id)
    return { state: unsettled, publicSource: kept.publicSource }
  }

  return {
    current(garden, nowMs) {
      const mine = turn.then(
        () => update(garden, nowMs),
        () => update(garden, nowMs),
      )
      turn = mine
      return mine
    },
    late(node, timeMs) {
      late.set(node, Math.min(timeMs, late.get(node) ?? timeMs))
    },
  }
}

/** The source that has been learned from speaks as long as it is fresh; learned differences hold for it alone. */
const FRESH_FOR_MS = DAY_MS

function takeInForecast(
  kept: Kept,
  forecasts: readonly StoredPublicForecast[],
  nowMs: number,
  around: Parameters<typeof withPublicForecast>[2],
): boolean {
  const isFresh = (one: StoredPublicForecast): boolean => nowMs - one.issuedAtMs <= FRESH_FOR_MS
  const chosen =
    forecasts.find((one) => one.source === kept.publicSource && isFresh(one)) ?? forecasts.find(isFresh)
  if (!chosen) return false
  const { regional } = newBedForecast(around.place)
  const before = chosen.source === kept.publicSource ? kept.committed : { ...kept.committed, regional }
  const known = before.regional.newest
  if (known !== null && known.issuedAtMs >= chosen.issuedAtMs) return false
  const { issuedAtMs, points } = chosen
  kept.committed = withPublicForecast(before, { issuedAtMs, points }, around)
  kept.publicSource = chosen.source
  return true
}

/** The earliest late reading of the nodes that have stood in the bed, UTC ms; null: none concerns it. */
function earliestHere(
  late: ReadonlyMap<string, number>,
  placements: readonly StoredPlacement[],
): number | null {
  const times = placements.flatMap(({ node, fromMs, toMs }) => {
    const timeMs = late.get(node)
    return timeMs === undefined || (toMs !== null && timeMs >= toMs) ? [] : [Math.max(timeMs, fromMs)]
  })
  return times.length === 0 ? null : Math.min(...times)
}

function firstDate(
  placements: readonly StoredPlacement[],
  { timeZone }: Garden,
  today: string,
): string | null {
  if (placements.length === 0) return null
  const earliest = localDate(Math.min(...placements.map((one) => one.fromMs)), timeZone)
  const since = Math.min(daysBetween(earliest, today), LONGEST_RECORD_DAYS)
  return since <= 0 ? null : addDays(today, -since)
}

function basisOf(
  { latitudeDeg, longitudeDeg, elevationM, timeZone }: Garden,
  normals: MonthlyNormals | null,
  placements: readonly StoredPlacement[],
): string {
  return JSON.stringify([
    [latitudeDeg, longitudeDeg, elevationM, timeZone],
    normals && [normals.minC, normals.maxC],
    placements.map(({ node, fromMs, toMs }) => [node, fromMs, toMs]),
  ])
}

/** The part of a basis that says where the garden lies. */
const placeOf = (basis: string): string => basis.slice(0, basis.indexOf(']'))

function within({ timeMs, value, flags }: ReadingColumns, fromMs: number, toMs: number): ReadingColumns {
  const from = firstAtOrAfter(timeMs, fromMs)
  const to = firstAtOrAfter(timeMs, toMs)
  return {
    timeMs: timeMs.subarray(from, to),
    value: value.subarray(from, to),
    flags: flags.subarray(from, to),
  }
}

function firstAtOrAfter(timeMs: Float64Array, ms: number): number {
  let low = 0
  let high = timeMs.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (timeMs[middle]! < ms) low = middle + 1
    else high = middle
  }
  return low
}
