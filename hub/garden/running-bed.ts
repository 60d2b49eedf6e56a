/**
 * A bed's day so far, kept up to date reading by reading: its sun by the core's running day, the rest of its record from
 * the readings held here. Nothing is asked of the store, and the day is not computed anew. Pure.
 *
 * What a reading's neighbours show of it (quality flags) is judged anew for the last hours only; the day is taken from the
 * store again every few minutes (running-beds.ts), which settles what would need a longer look.
 */
import type { Garden } from '../../shared/api/garden.js'
import type { DayRecord } from '../../shared/api/measurements.js'
import type { LocalDay } from '../../shared/local-time.js'
import { FLAG } from '../../shared/quality-flags.js'
import { computeDayRecord, type DayReadings, DEFAULT_DAY_OPTIONS } from '../core/days/day-record.js'
import { contextFlags } from '../core/quality/context-checks.js'
import type { ReadingColumns } from '../core/readings.js'
import { DAY_CONTEXT_MS, type DaySun } from '../core/sun/day-sun.js'
import { type PlacedContext, partsOfDay, placedDaySun } from '../core/sun/placed-day.js'
import { type RunningDay, runningDay } from '../core/sun/running-day.js'

/** In the order of DayReadings. */
export const RUNNING_QUANTITIES = ['air-temp', 'soil-temp', 'light', 'irradiance'] as const
type RunningQuantity = (typeof RUNNING_QUANTITIES)[number]

/** Flags of readings this old are not judged anew when one more comes. */
const LOOK_BACK_MS = 4 * 3_600_000

export interface RunningBed {
  /**
   * Takes a reading of the node that stands in the bed.
   *
   * @returns false: it came out of order, and the day must be taken from the store again
   */
  add(quantity: string, timeMs: number, value: number, flags: number): boolean
  figures(nowMs: number): { readonly sun: DaySun; readonly day: DayRecord }
}

/**
 * @param readings  from the windows around the day that a day record rests on, flags from context merged in
 * @param placed    what the day's sun is judged with
 */
export function createRunningBed(
  day: LocalDay,
  garden: Garden,
  placed: readonly PlacedContext[],
  readings: DayReadings,
): RunningBed {
  const columns: Readonly<Record<RunningQuantity, GrowingColumns>> = {
    'air-temp': growing(readings.airTemp),
    'soil-temp': growing(readings.soilTemp),
    light: growing(readings.light),
    irradiance: growing(readings.irradiance),
  }
  const parts = partsOfDay(day, placed)
  /** what came long before the day says nothing of its sun */
  const isNearDay = (timeMs: number): boolean => timeMs >= day.startMs - DAY_CONTEXT_MS
  let running: { readonly quantity: RunningQuantity; readonly day: RunningDay } | null = null

  /** One sensor in one place all day can be followed; anything else is computed from what is held here. */
  const followed = (): RunningDay | null => {
    const quantities = (['light', 'irradiance'] as const).filter((q) => columns[q].length() > 0)
    const [quantity] = quantities
    if (quantity === undefined || quantities.length > 1 || parts.length > 1) return null
    if (running?.quantity !== quantity) {
      const start = runningDay(day, quantity, garden, parts[0]?.context)
      const { timeMs, value, flags } = columns[quantity].view()
      for (let i = 0; i < timeMs.length; i++) {
        if (isNearDay(timeMs[i]!)) start.add(timeMs[i]!, value[i]!, flags[i]!)
      }
      running = { quantity, day: start }
    }
    return running.day
  }

  const held = (): DayReadings => ({
    airTemp: columns['air-temp'].view(),
    soilTemp: columns['soil-temp'].view(),
    light: columns.light.view(),
    irradiance: columns.irradiance.view(),
  })

  return {
    add(quantity, timeMs, value, flags) {
      if (!isRunning(quantity)) return true
      const column = columns[quantity]
      const place = column.placeOf(timeMs)
      if (place === 'known') return true
      if (place === 'before') return false
      column.push(timeMs, value, flags)
      const isOtherwise = column.judgeLast(quantity, LOOK_BACK_MS)
      if (running?.quantity !== quantity) return true
      // what neighbours now say of readings that were taken already changes the day so far
      if (isOtherwise) running = null
      else if (isNearDay(timeMs)) running.day.add(timeMs, value, column.lastFlags())
      return true
    },
    figures(nowMs) {
      const soFar = held()
      const sun = followed()?.sun(nowMs) ?? placedDaySun(day, soFar, garden, nowMs, placed)
      return { sun, day: computeDayRecord(day, soFar, sun, nowMs, DEFAULT_DAY_OPTIONS) }
    },
  }
}

const isRunning = (quantity: string): quantity is RunningQuantity =>
  (RUNNING_QUANTITIES as readonly string[]).includes(quantity)

interface GrowingColumns {
  length(): number
  view(): ReadingColumns
  placeOf(timeMs: number): 'after' | 'known' | 'before'
  push(timeMs: number, value: number, flags: number): void
  lastFlags(): number
  /** Judges the last hours by their neighbours. @returns did a reading but the last get other flags? */
  judgeLast(quantity: string, lookBackMs: number): boolean
}

/** Columns with room to grow. A reading with a wrong clock would hide all that come after: it is left out. */
function growing(start: ReadingColumns): GrowingColumns {
  let length = start.timeMs.length
  while (length > 0 && (start.flags[length - 1]! & FLAG.clock) !== 0) length--
  let timeMs = Float64Array.from(start.timeMs.subarray(0, length))
  let value = Float64Array.from(start.value.subarray(0, length))
  let flags = Uint16Array.from(start.flags.subarray(0, length))

  const grow = (): void => {
    const size = Math.max(64, 2 * length)
    const [oldTimes, oldValues, oldFlags] = [timeMs, value, flags]
    timeMs = new Float64Array(size)
    value = new Float64Array(size)
    flags = new Uint16Array(size)
    timeMs.set(oldTimes)
    value.set(oldValues)
    flags.set(oldFlags)
  }
  const from = (ms: number): number => {
    let low = 0
    let high = length
    while (low < high) {
      const middle = (low + high) >> 1
      if (timeMs[middle]! < ms) low = middle + 1
      else high = middle
    }
    return low
  }

  return {
    length: () => length,
    view: () => ({
      timeMs: timeMs.subarray(0, length),
      value: value.subarray(0, length),
      flags: flags.subarray(0, length),
    }),
    placeOf(ms) {
      if (length === 0 || ms > timeMs[length - 1]!) return 'after'
      return timeMs[from(ms)] === ms ? 'known' : 'before'
    },
    push(ms, newValue, newFlags) {
      if (length === timeMs.length) grow()
      timeMs[length] = ms
      value[length] = newValue
      flags[length] = newFlags
      length++
    },
    lastFlags: () => flags[length - 1]!,
    judgeLast(quantity, lookBackMs) {
      const first = from(timeMs[length - 1]! - lookBackMs)
      const judged = contextFlags(quantity, {
        timeMs: timeMs.subarray(first, length),
        value: value.subarray(first, length),
        flags: flags.subarray(first, length),
      })
      let isOtherwise = false
      for (const [i, flag] of judged.entries()) {
        if (flags[first + i] === flag) continue
        flags[first + i] = flag
        if (first + i < length - 1) isOtherwise = true
      }
      return isOtherwise
    },
  }
}
