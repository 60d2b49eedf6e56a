/** Our sun states on a record, as a lux sensor of some kind would have seen it. */
import { contextFlags } from '../../hub/core/quality/context-checks.js'
import { NO_READINGS } from '../../hub/core/readings.js'
import { bedLight } from '../../hub/core/sun/bed-light.js'
import { learnGain } from '../../hub/core/sun/sensor-gain.js'
import { type SunSeries, sunSeries } from '../../hub/core/sun/sun-series.js'
import { SUN, sunStates, VOTE_WEIGHTS, type VoteWeights } from '../../hub/core/sun/sun-states.js'
import { FLAG } from '../../shared/quality-flags.js'
import { asLux, type Sensor, type SunRecord } from '../support/measured-sunshine.js'
import { type Score, type SunTime, scoreDays } from './daily-score.js'

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

/**
 * Weights tried when a month is judged by a method tuned on the others: how much the readings around have to say, and a shift
 * of the marks. More knobs than these two learn the weather of the other months rather than the method.
 */
const GRID: readonly VoteWeights[] = [0, 0.35, 0.5, 0.65, 0.8, 0.95].flatMap((mean) =>
  [-0.02, -0.01, 0, 0.01, 0.02, 0.03].map((offset) => ({ mean, middle: (2 / 3) * mean, offset })),
)

/**
 * Each record judged by weights tuned on the other months: the honest figure for a place that was never seen.
 *
 * @param months  which of the records are months to tune on (a single day is judged, not tuned on)
 */
export function leaveOneOut(
  records: readonly SunRecord[],
  seenBy: readonly Seen[],
  months: readonly SunRecord[],
): Score[] {
  const scores = GRID.map((votes) =>
    records.map((record, i) => scoreDays(record, ourSun(record, seenBy[i]!, votes))),
  )
  return records.map((record, i) => {
    const errorOnOthers = (row: readonly Score[]): number =>
      row.reduce((sum, score, j) => sum + (j !== i && months.includes(records[j]!) ? score.error : 0), 0)
    const best = scores.reduce((a, b) => (errorOnOthers(b) < errorOnOthers(a) ? b : a))
    return best[records.indexOf(record)]!
  })
}
