/** A bed's light as one series of irradiance, from whatever its sensors send. */
import { FLAG, isGood } from '../../../shared/quality-flags.js'
import { maxHoldMs } from '../../../shared/quantities.js'
import { holdWeights } from '../quality/completeness.js'
import type { ReadingColumns } from '../readings.js'
import { DAYLIGHT_LUX_PER_WM2 } from './light.js'

/** Light of the bed around the day (some readings of context each side help); either may be empty. */
export interface LightReadings {
  /** global illuminance on the level, lx */
  readonly light: ReadingColumns
  /** global irradiance on the level, W/m²; preferred where both exist */
  readonly irradiance: ReadingColumns
}

/** Good readings only, ascending in time. */
export interface BedLight {
  /** UTC ms */
  readonly timeMs: Float64Array
  /** as the sensor says, without gain, W/m² */
  readonly irradianceWm2: Float64Array
  /** 1 where the sensor stood at its ceiling: the true value is at least this */
  readonly isCeiling: Uint8Array
  /** time that the reading accounts for, half to each side, ms */
  readonly weightMs: Float64Array
}

/** A lux reading is passed over where a good irradiance reading stands this near. */
const PREFERENCE_MS = maxHoldMs('irradiance') / 2

/** Joins a bed's lux and irradiance readings (flags from context merged in), irradiance preferred. */
export function bedLight(readings: LightReadings): BedLight {
  const { irradiance, light } = readings
  if (irradiance.timeMs.length === 0) return oneSeries(light, 'light', 1 / DAYLIGHT_LUX_PER_WM2)
  if (light.timeMs.length === 0) return oneSeries(irradiance, 'irradiance', 1)
  return preferred(
    oneSeries(irradiance, 'irradiance', 1),
    oneSeries(light, 'light', 1 / DAYLIGHT_LUX_PER_WM2),
  )
}

/** A reading at its ceiling stands still by nature: `stuck` says nothing about it. */
const judgedFlags = (flags: number): number => ((flags & FLAG.ceiling) !== 0 ? flags & ~FLAG.stuck : flags)

function oneSeries(columns: ReadingColumns, quantity: string, wm2PerUnit: number): BedLight {
  const n = columns.timeMs.length
  const flags = columns.flags.map(judgedFlags)
  const weights = holdWeights(columns.timeMs, flags, maxHoldMs(quantity))
  const light = emptyLight(n)
  let ceiling = Number.POSITIVE_INFINITY
  for (let i = 0; i < n; i++) {
    if (isGood(flags[i]!) && (flags[i]! & FLAG.ceiling) !== 0) ceiling = Math.min(ceiling, columns.value[i]!)
  }
  let length = 0
  for (let i = 0; i < n; i++) {
    const value = columns.value[i]!
    if (!isGood(flags[i]!) || !Number.isFinite(value)) continue
    light.timeMs[length] = columns.timeMs[i]!
    light.irradianceWm2[length] = value * wm2PerUnit
    // once a plateau has shown the ceiling, a lone touch of it is the ceiling as well
    light.isCeiling[length] = value >= ceiling ? 1 : 0
    light.weightMs[length] = weights[i]!
    length++
  }
  return firstReadings(light, length)
}

function preferred(first: BedLight, second: BedLight): BedLight {
  const joined = emptyLight(first.timeMs.length + second.timeMs.length)
  let length = 0
  const take = (from: BedLight, i: number): void => {
    joined.timeMs[length] = from.timeMs[i]!
    joined.irradianceWm2[length] = from.irradianceWm2[i]!
    joined.isCeiling[length] = from.isCeiling[i]!
    joined.weightMs[length] = from.weightMs[i]!
    length++
  }
  let lastMs = Number.NEGATIVE_INFINITY
  let s = 0
  for (let f = 0; f <= first.timeMs.length; f++) {
    const nextMs = first.timeMs[f] ?? Number.POSITIVE_INFINITY
    for (; s < second.timeMs.length && second.timeMs[s]! <= nextMs; s++) {
      const distanceMs = Math.min(second.timeMs[s]! - lastMs, nextMs - second.timeMs[s]!)
      if (distanceMs > PREFERENCE_MS) take(second, s)
    }
    if (f < first.timeMs.length) take(first, f)
    lastMs = nextMs
  }
  return firstReadings(joined, length)
}

function emptyLight(n: number): BedLight {
  return {
    timeMs: new Float64Array(n),
    irradianceWm2: new Float64Array(n),
    isCeiling: new Uint8Array(n),
    weightMs: new Float64Array(n),
  }
}

function firstReadings(light: BedLight, n: number): BedLight {
  return {
    timeMs: light.timeMs.subarray(0, n),
    irradianceWm2: light.irradianceWm2.subarray(0, n),
    isCeiling: light.isCeiling.subarray(0, n),
    weightMs: light.weightMs.subarray(0, n),
  }
}
