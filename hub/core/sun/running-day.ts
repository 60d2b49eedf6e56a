/**
 * Today's sun, kept up to date reading by reading: the same figures as daySun would give from all readings of the day
 * at once, without computing the day anew. Only the last hours are looked at again, since a reading's state
 * depends on its neighbours; what lies before is settled.
 */
import type { LocalDay } from '../../../shared/local-time.js'
import { FLAG, isGood } from '../../../shared/quality-flags.js'
import { maxHoldMs } from '../../../shared/quantities.js'
import { NO_READINGS, type Place, type ReadingColumns } from '../readings.js'
import { type BedLight, bedLight } from './bed-light.js'
import { addLight, closeDay, DAY_CONTEXT_MS, type DaySun, dayFrame } from './day-sun.js'
import { copySegments, startSegments } from './state-segments.js'
import { AROUND_MS, type SunContext } from './sun-states.js'

export interface RunningDay {
  /**
   * Takes a reading of the bed's light, in order of time; one that is older than the newest is refused.
   *
   * @returns false: not taken, compute the day anew (daySun) and start again from it
   */
  add(timeMs: number, value: number, flags: number): boolean
  /** The day's sun up to now. */
  sun(nowMs: number): DaySun
}

const HOLD_MS = maxHoldMs('light')
/** States, ceilings and weights of readings older than this, counted from the newest, no longer change. */
const SETTLED_MS = AROUND_MS + HOLD_MS
/** Settling costs a second look, so it is done now and then. */
const SETTLE_EVERY_MS = 15 * 60_000

/**
 * @param quantity  the one series that is followed (a bed with both a lux and an irradiance sensor: the irradiance)
 */
export function runningDay(
  day: LocalDay,
  quantity: 'light' | 'irradiance',
  place: Place,
  context: SunContext = {},
): RunningDay {
  const frame = dayFrame(day, place, context)
  const settled = startSegments(day.startMs, frame.daylight)
  let timeMs: number[] = []
  let values: number[] = []
  let flagSets: number[] = []
  /** readings before this moment are settled */
  let settledMs = Number.NEGATIVE_INFINITY
  let hasReadings = false
  let ceiling = Number.POSITIVE_INFINITY

  const light = (): BedLight => {
    const own: ReadingColumns = {
      timeMs: Float64Array.from(timeMs),
      value: Float64Array.from(values),
      // once the ceiling is known a lone touch of it is the ceiling as well, though its flag has been forgotten
      flags: Uint16Array.from(flagSets, (flags, i) => (values[i]! >= ceiling ? flags | FLAG.ceiling : flags)),
    }
    return bedLight(
      quantity === 'light'
        ? { light: own, irradiance: NO_READINGS }
        : { light: NO_READINGS, irradiance: own },
    )
  }

  /** Moves what can no longer change into the settled segments and forgets what no longer matters. */
  const settle = (own: BedLight): void => {
    const newestMs = timeMs.at(-1)!
    if (newestMs - SETTLED_MS - settledMs < SETTLE_EVERY_MS) return
    const toMs = newestMs - SETTLED_MS
    addLight(settled, own, place, context, { fromMs: settledMs, toMs, untilMs: day.endMs })
    settledMs = toMs
    let forget = 0
    while (timeMs[forget]! < toMs - DAY_CONTEXT_MS) forget++
    timeMs = timeMs.slice(forget)
    values = values.slice(forget)
    flagSets = flagSets.slice(forget)
  }

  return {
    add: (readingMs, value, flags) => {
      if (!(readingMs > (timeMs.at(-1) ?? Number.NEGATIVE_INFINITY))) return false
      timeMs.push(readingMs)
      values.push(value)
      flagSets.push(flags)
      hasReadings ||= isGood(flags)
      if ((flags & FLAG.ceiling) !== 0 && isGood(flags & ~FLAG.stuck)) ceiling = Math.min(ceiling, value)
      return true
    },
    sun: (nowMs) => {
      const untilMs = Math.min(day.endMs, Math.max(day.startMs, nowMs))
      if (timeMs.length === 0) return closeDay(frame, settled, untilMs, hasReadings)
      const own = light()
      settle(own)
      const so = copySegments(settled)
      addLight(so, own, place, context, { fromMs: settledMs, toMs: Number.POSITIVE_INFINITY, untilMs })
      return closeDay(frame, so, untilMs, hasReadings)
    },
  }
}
