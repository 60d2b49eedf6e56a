/** A bed's light as one series of irradiance, from whatever its sensors send. */
import { FLAG, isGood } from '../../../shared/quality-flags.js'
import { maxHoldMs } from '../../../shared/quantities.js'
import type { ReadingColumns } from '../readings.js'
import type { LightReadings } from './day-sun.js'
import { DAYLIGHT_LUX_PER_WM2 } from './light.js'

/** Good readings only, ascending in time. */
export interface BedLight {
  /** UTC ms */
  readonly timeMs: Float64Array
  /** as the sensor says, without gain, W/m² */
  readonly irradianceWm2: Float64Array
  /** 1 where the sensor stood at its ceiling: the true value is at least this */
  readonly isCeiling: Uint8Array
}

/** A lux reading is passed over where an irradiance reading stands this near. */
const PREFERENCE_MS = maxHoldMs('irradiance') / 2

/** A ceiling holds its reading to the digit, this often in a row … */
const PLATEAU_READINGS = 8
/** … and is bright: 30 klx, under half of the lowest full sun that reaches a common sensor's ceiling. */
const PLATEAU_WM2 = 30_000 / DAYLIGHT_LUX_PER_WM2

/** A reading at its ceiling does not move, so `stuck` says nothing about it. */
function counts(flags: number): boolean {
  return isGood((flags & FLAG.ceiling) !== 0 ? flags & ~FLAG.stuck : flags)
}

/**
 * Joins a bed's lux and irradiance readings, irradiance preferred, and finds the plateau of a sensor at a
 * ceiling that no flag knows of.
 */
export function bedLight(readings: LightReadings): BedLight {
  const { irradiance, light } = readings
  const n = irradiance.timeMs.length + light.timeMs.length
  const timeMs = new Float64Array(n)
  const irradianceWm2 = new Float64Array(n)
  const isCeiling = new Uint8Array(n)
  let length = 0
  const take = (columns: ReadingColumns, i: number, wm2PerUnit: number): void => {
    timeMs[length] = columns.timeMs[i]!
    irradianceWm2[length] = columns.value[i]! * wm2PerUnit
    isCeiling[length] = (columns.flags[i]! & FLAG.ceiling) !== 0 ? 1 : 0
    length++
  }
  const isUsable = (columns: ReadingColumns, i: number): boolean =>
    counts(columns.flags[i]!) && Number.isFinite(columns.value[i]!)

  let lastIrradianceMs = Number.NEGATIVE_INFINITY
  let l = 0
  for (let i = 0; i <= irradiance.timeMs.length; i++) {
    const isEnd = i === irradiance.timeMs.length
    if (!isEnd && !isUsable(irradiance, i)) continue
    const nextMs = isEnd ? Number.POSITIVE_INFINITY : irradiance.timeMs[i]!
    for (; l < light.timeMs.length && light.timeMs[l]! <= nextMs; l++) {
      const distanceMs = Math.min(light.timeMs[l]! - lastIrradianceMs, nextMs - light.timeMs[l]!)
      if (distanceMs > PREFERENCE_MS && isUsable(light, l)) take(light, l, 1 / DAYLIGHT_LUX_PER_WM2)
    }
    if (!isEnd) take(irradiance, i, 1)
    lastIrradianceMs = nextMs
  }
  const joined = {
    timeMs: timeMs.subarray(0, length),
    irradianceWm2: irradianceWm2.subarray(0, length),
    isCeiling: isCeiling.subarray(0, length),
  }
  markPlateaus(joined)
  return joined
}

/** Marks bright runs of one and the same value that nothing in the series exceeds. */
function markPlateaus(light: BedLight): void {
  const { irradianceWm2, isCeiling } = light
  let top = 0
  for (const value of irradianceWm2) top = Math.max(top, value)
  if (top < PLATEAU_WM2) return
  for (let i = 0; i < irradianceWm2.length; ) {
    let end = i + 1
    while (end < irradianceWm2.length && irradianceWm2[end] === irradianceWm2[i]) end++
    if (irradianceWm2[i] === top && end - i >= PLATEAU_READINGS) isCeiling.fill(1, i, end)
    i = end
  }
  // once a plateau shows the ceiling, a lone touch of it is the ceiling as well
  for (let i = 0, seen = isCeiling.includes(1); seen && i < isCeiling.length; i++) {
    if (irradianceWm2[i] === top) isCeiling[i] = 1
  }
}
