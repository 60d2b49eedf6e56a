/** A bed's states in slots of five minutes, as the skyline is learned from them. */
import { SECTORS, sectorOf } from './skyline.js'
import type { SunSeries } from './sun-series.js'
import { CLOUD, SHADE, SUN } from './sun-states.js'

export const SLOT_MS = 300_000
/** Heights are told apart in steps of half a degree, the sun's own width. */
export const STEP_DEG = 0.5
export const STEPS = 90 / STEP_DEG

/** Columns, ascending in time; a slot in which the sun changes its sector comes twice. */
export interface SkySlots {
  readonly length: number
  /** time in slots since 1970 */
  readonly slot: Int32Array
  /** number of the bed's day, counted from night to night */
  readonly day: Int32Array
  readonly sector: Uint8Array
  /** elevation of the sun in steps */
  readonly step: Uint8Array
  /** part of the slot with sun, 0 to 1 */
  readonly sun: Float64Array
  /** time that its readings account for, in slots: below 1 where readings miss, up to 3 where they come slowly */
  readonly worth: Float64Array
}

/** A reading every quarter of an hour tells as much as three slots. */
const MOST_WORTH = 3

/** Lower than this neither the sun nor what hides it can be told from haze. */
const LOWEST_DEG = 2
/** A night is a hole of at least three hours of daylight slots. */
const NIGHT_SLOTS = (3 * 3_600_000) / SLOT_MS
const LONGEST_DAY_SLOTS = (24 * 3_600_000) / SLOT_MS

/** @param state  index in SUN_STATES, by reading */
export function skySlots(series: SunSeries, state: Uint8Array): SkySlots {
  const { timeMs, elevationDeg, azimuthDeg, weightMs } = series
  const n = state.length
  const slots = {
    slot: new Int32Array(n),
    day: new Int32Array(n),
    sector: new Uint8Array(n),
    step: new Uint8Array(n),
    sun: new Float64Array(n),
    worth: new Float64Array(n),
  }
  const isTold = (i: number): boolean =>
    (state[i] === SUN || state[i] === CLOUD || state[i] === SHADE) && elevationDeg[i]! >= LOWEST_DEG
  let length = 0
  let day = 0
  let dayStart = 0
  for (let i = 0; i < n; ) {
    if (!isTold(i)) {
      i++
      continue
    }
    const slot = Math.floor(timeMs[i]! / SLOT_MS)
    const sector = sectorOf(azimuthDeg[i]!)
    let count = 0
    let sunny = 0
    let elevation = 0
    let accountedMs = 0
    for (; i < n && Math.floor(timeMs[i]! / SLOT_MS) === slot; i++) {
      if (!isTold(i) || sectorOf(azimuthDeg[i]!) !== sector) break
      count++
      if (state[i] === SUN) sunny++
      elevation += elevationDeg[i]!
      accountedMs += weightMs[i]!
    }
    if (length > 0) {
      const isNewDay = slot - slots.slot[length - 1]! >= NIGHT_SLOTS || slot - dayStart >= LONGEST_DAY_SLOTS
      if (isNewDay) {
        day++
        dayStart = slot
      }
    } else dayStart = slot
    slots.slot[length] = slot
    slots.day[length] = day
    slots.sector[length] = sector
    slots.step[length] = Math.min(STEPS - 1, Math.floor(elevation / count / STEP_DEG))
    slots.sun[length] = sunny / count
    slots.worth[length] = Math.min(MOST_WORTH, accountedMs / SLOT_MS)
    length++
  }
  return { length, ...slots }
}

/** 1 for every sector that the sun has passed. */
export function seenSectors(slots: SkySlots): Uint8Array {
  const seen = new Uint8Array(SECTORS)
  for (let i = 0; i < slots.length; i++) seen[slots.sector[i]!] = 1
  return seen
}
