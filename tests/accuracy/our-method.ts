/** Our sun states on a record, as a lux sensor of some kind would have seen it. */
import { contextFlags } from '../../hub/core/quality/context-checks.js'
import { NO_READINGS } from '../../hub/core/readings.js'
import { bedLight } from '../../hub/core/sun/bed-light.js'
import { learnGain } from '../../hub/core/sun/sensor-gain.js'
import { type SunSeries, sunSeries } from '../../hub/core/sun/sun-series.js'
import { SUN, sunStates, VOTE_WEIGHTS, type VoteWeights } from '../../hub/core/sun/sun-states.js'
import { FLAG } from '../../shared/quality-flags.js'
import { asLux, type Sensor, type SunRecord } from '../support/measured-sunshine.js'
import type { SunTime } from './daily-score.js'

const HOUR_MS = 3_600_000

export interface Seen {
  readonly series: SunSeries
  readonly gainAt: (timeMs: number) => number
}

/** What the hub makes of the sensor's month before any state: flags, sun positions, gain. */
export function seen(record: SunRecord, sensor: Sensor = {}): Seen {
  const lux = asLux(record, sensor)
  const { ceilingLx } = sensor
  const arrived = lux.value.map((v) => (ceilingLx !== undefined && v >= ceilingLx - 1 ? FLAG.ceiling : 0))
  const light = { ...lux, flags: Uint16Array.from(arrived) }
  const flags = contextFlags('light', light)
  const series = sunSeries(bedLight({ light: { ...light, flags }, irradiance: NO_READINGS }), record.place)
  return { series, gainAt: learnGain(series).at }
}

export function ourSun(
  record: SunRecord,
  { series, gainAt }: Seen,
  votes: VoteWeights = VOTE_WEIGHTS,
): SunTime {
  const { state } = sunStates(series, record.place, { gainAt }, votes)
  const hours = series.weightMs.map((ms, i) => (state[i] === SUN ? ms / HOUR_MS : 0))
  return { timeMs: series.timeMs, hours }
}

/** Weights tried when a month is judged by a method tuned on the others. */
const GRID: readonly VoteWeights[] = [0, 0.4, 0.5, 0.6, 0.7, 0.8].flatMap((mean) =>
  [0, 0.2, 0.4, 0.6].flatMap((middle) =>
    [-0.02, -0.01, 0, 0.012, 0.02, 0.03].map((offset) => ({ mean, middle, offset })),
  ),
)

/** The weights with the smallest summed error. @param errorOf  sum over the months to tune on */
export function tuned(errorOf: (votes: VoteWeights) => number): VoteWeights {
  let best = VOTE_WEIGHTS
  let least = Number.POSITIVE_INFINITY
  for (const votes of GRID) {
    const error = errorOf(votes)
    if (error < least) {
      least = error
      best = votes
    }
  }
  return best
}
