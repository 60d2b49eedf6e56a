/** What is wrong with a bed's light sensor, as far as its own light shows. Material for `sensor-fault` warnings. */
import type { BedSunLearned } from './bed-sun.js'
import { clockOffset } from './clock-check.js'
import { luxFromIrradiance } from './light.js'
import { UNKNOWN } from './sun-states.js'

export type SensorFault =
  /** the sensor reads more or less than before, for good: dirt, a leaf, a cleaning, another tilt */
  | {
      readonly kind: 'gain-changed'
      readonly from: number
      readonly to: number
      readonly afterMs: number
      readonly beforeMs: number
    }
  /** reads `morningOverAfternoon` times as much before noon as after it, under the same clear sky: it leans */
  | { readonly kind: 'leaning'; readonly morningOverAfternoon: number }
  /** dark for hours with the sun up: face down, snow, or something on top; still so at the last reading */
  | { readonly kind: 'covered'; readonly sinceMs: number }
  /** cannot tell sun from cloud for this many hours a day, since its ceiling is too low */
  | { readonly kind: 'ceiling-low'; readonly ceilingLx: number; readonly doubtHoursPerDay: number }
  /** the node's clock is ahead (behind: negative) */
  | { readonly kind: 'clock-off'; readonly offsetMinutes: number }

const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS
const COVERED_MS = 3 * HOUR_MS
/** Morning and afternoon haze differ by less. */
const LEANING = 0.15
const CLOCK_OFF_MINUTES = 30
const DOUBT_HOURS = 0.5

/** Faults that show in weeks of light of one placement, none of them a verdict: the grower looks. */
export function sensorFaults(learned: BedSunLearned): SensorFault[] {
  const { gain, series } = learned
  const faults: SensorFault[] = []
  const clock = clockOffset(series)
  if (clock !== null && Math.abs(clock.offsetMinutes) >= CLOCK_OFF_MINUTES) {
    faults.push({ kind: 'clock-off', offsetMinutes: Math.round(clock.offsetMinutes) })
  } else {
    // with a wrong clock the sun is looked for in the wrong place, and a true sensor seems to change and to lean
    for (const change of gain.changes) faults.push({ kind: 'gain-changed', ...change })
    const lean = gain.morningOverAfternoon
    if (lean !== null && Math.abs(Math.log(lean)) > LEANING) {
      faults.push({ kind: 'leaning', morningOverAfternoon: lean })
    }
  }
  const sinceMs = coveredSince(learned)
  if (sinceMs !== null) faults.push({ kind: 'covered', sinceMs })
  const ceiling = lowCeiling(learned)
  if (ceiling !== null) faults.push(ceiling)
  return faults
}

/** Since when the sensor has been covered without a break in daylight, if it still is. */
function coveredSince({ series, states }: BedSunLearned): number | null {
  let sinceMs: number | null = null
  let lastMs = 0
  for (let i = states.state.length - 1; i >= 0; i--) {
    const isHigh = series.elevationDeg[i]! >= 10
    if (!isHigh) continue
    if (states.state[i] !== UNKNOWN) break
    sinceMs = series.timeMs[i]!
    lastMs ||= series.timeMs[i]!
  }
  return sinceMs !== null && lastMs - sinceMs >= COVERED_MS ? sinceMs : null
}

function lowCeiling({ series, states }: BedSunLearned): SensorFault | null {
  let doubtMs = 0
  let ceilingWm2 = Number.POSITIVE_INFINITY
  const n = series.timeMs.length
  for (let i = 0; i < n; i++) {
    if (series.isCeiling[i] === 0) continue
    ceilingWm2 = Math.min(ceilingWm2, series.irradianceWm2[i]!)
    if (states.certainty[i]! < 1) doubtMs += series.weightMs[i]!
  }
  const days = n > 0 ? Math.max(1, (series.timeMs[n - 1]! - series.timeMs[0]!) / DAY_MS) : 1
  const doubtHoursPerDay = doubtMs / HOUR_MS / days
  if (doubtHoursPerDay < DOUBT_HOURS) return null
  return { kind: 'ceiling-low', ceilingLx: Math.round(luxFromIrradiance(ceilingWm2)), doubtHoursPerDay }
}
