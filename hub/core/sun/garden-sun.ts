/**
 * Learning the sun of several places of one garden together: where one bed sees the sun the sky is clear, so whatever
 * hides it from another bed at that moment stands there.
 */
import type { Place } from '../readings.js'
import { bedLight, type LightReadings } from './bed-light.js'
import type { DrawnSkyline } from './drawn-skyline.js'
import { learnedContext } from './learned-context.js'
import { type SensorFault, sensorFaults } from './sensor-faults.js'
import { learnGain, type SensorGain } from './sensor-gain.js'
import { type Skyline, sectorOf } from './skyline.js'
import { learnSkyline } from './skyline-learning.js'
import { type SunSeries, sunSeries } from './sun-series.js'
import { CLOUD, type StateColumns, SUN, sunStates } from './sun-states.js'

/** What one sensor's light shows by itself. */
export interface SunEvidence {
  readonly gain: SensorGain
  readonly faults: readonly SensorFault[]
  /** daylight readings only */
  readonly series: SunSeries
  /** states as in the open, index in SUN_STATES */
  readonly openState: Uint8Array
  readonly drawn: DrawnSkyline | undefined
  /** was the sun out, by five minutes since `firstSlot`: 1 yes, 0 no, though nothing stands there, −1 not told */
  readonly firstSlot: number
  readonly sunBySlot: Int8Array
}

const SLOT_MS = 300_000
/** A slot tells something when this part of its readings agrees. */
const MOST = 0.75
/** A clock that was put right, a sensor that was set level, should be forgotten soon. */
const RECENT_MS = 14 * 86_400_000
/** Night readings say nothing about the sky. */
const DAYLIGHT_DEG = 0

/** @param readings  weeks of one placement, flags from context merged in */
export function sunEvidence(readings: LightReadings, place: Place, drawn?: DrawnSkyline): SunEvidence {
  const all = sunSeries(bedLight(readings), place)
  const gain = learnGain(all)
  const open = sunStates(all, place, { gainAt: gain.at })
  const skyline = learnSkyline(all, open.state, drawn ? { drawn } : {})
  const context = learnedContext(gain.at, skyline)
  const states = sunStates(all, place, context)
  const isLight = (i: number): boolean => all.elevationDeg[i]! > DAYLIGHT_DEG
  const told = Float64Array.from(all.timeMs.keys()).filter(isLight)
  const pick = (column: Float64Array): Float64Array => told.map((i) => column[i]!)
  return {
    gain,
    faults: sensorFaults({ gain, skyline, context, ...recent(all, states) }),
    series: {
      timeMs: pick(all.timeMs),
      irradianceWm2: pick(all.irradianceWm2),
      isCeiling: Uint8Array.from(told, (i) => all.isCeiling[i]!),
      weightMs: pick(all.weightMs),
      elevationDeg: pick(all.elevationDeg),
      azimuthDeg: pick(all.azimuthDeg),
      clearRatio: pick(all.clearRatio),
    },
    openState: Uint8Array.from(told, (i) => open.state[i]!),
    drawn,
    ...sunSlots(all, states.state, skyline),
  }
}

/** Faults are told of as the sensor is now; its gain's changes are kept with the gain. */
function recent(all: SunSeries, states: StateColumns): { series: SunSeries; states: StateColumns } {
  const sinceMs = (all.timeMs.at(-1) ?? 0) - RECENT_MS
  const from = all.timeMs.findIndex((ms) => ms >= sinceMs)
  return {
    series: {
      timeMs: all.timeMs.subarray(from),
      irradianceWm2: all.irradianceWm2.subarray(from),
      isCeiling: all.isCeiling.subarray(from),
      weightMs: all.weightMs.subarray(from),
      elevationDeg: all.elevationDeg.subarray(from),
      azimuthDeg: all.azimuthDeg.subarray(from),
      clearRatio: all.clearRatio.subarray(from),
    },
    states: { state: states.state.subarray(from), certainty: states.certainty.subarray(from) },
  }
}

/** The skyline of one place, with what the others saw at the same time. */
export function skylineBeside(own: SunEvidence, others: readonly SunEvidence[]): Skyline {
  return learnSkyline(own.series, own.openState, {
    ...(own.drawn && { drawn: own.drawn }),
    ...(others.length > 0 && { sunElsewhere: (timeMs: number) => sunIn(others, timeMs) }),
  })
}

/** One bed with sun is enough; no sun is only believed where nobody had any. */
function sunIn(others: readonly SunEvidence[], timeMs: number): boolean | null {
  let isTold = false
  for (const { firstSlot, sunBySlot } of others) {
    const sun = sunBySlot[Math.floor(timeMs / SLOT_MS) - firstSlot] ?? -1
    if (sun === 1) return true
    if (sun === 0) isTold = true
  }
  return isTold ? false : null
}

function sunSlots(
  series: SunSeries,
  state: Uint8Array,
  skyline: Skyline,
): Pick<SunEvidence, 'firstSlot' | 'sunBySlot'> {
  const { timeMs, elevationDeg, azimuthDeg } = series
  const n = timeMs.length
  if (n === 0) return { firstSlot: 0, sunBySlot: new Int8Array(0) }
  const firstSlot = Math.floor(timeMs[0]! / SLOT_MS)
  const sunBySlot = new Int8Array(Math.floor(timeMs[n - 1]! / SLOT_MS) - firstSlot + 1).fill(-1)
  for (let i = 0; i < n; ) {
    const slot = Math.floor(timeMs[i]! / SLOT_MS)
    let sun = 0
    let cloud = 0
    let count = 0
    for (; i < n && Math.floor(timeMs[i]! / SLOT_MS) === slot; i++) {
      count++
      if (state[i] === SUN) sun++
      // what might as well be a roof says nothing about clouds
      else if (state[i] === CLOUD && elevationDeg[i]! > skyline.highDeg[sectorOf(azimuthDeg[i]!)]!) cloud++
    }
    if (sun >= MOST * count) sunBySlot[slot - firstSlot] = 1
    else if (cloud >= MOST * count) sunBySlot[slot - firstSlot] = 0
  }
  return { firstSlot, sunBySlot }
}
