/** All that can be learned about a bed's sun from weeks of its light: the sensor's gain and the bed's skyline. */
import type { Place } from '../readings.js'
import { bedLight, type LightReadings } from './bed-light.js'
import { learnedContext } from './learned-context.js'
import { learnGain, type SensorGain } from './sensor-gain.js'
import type { Skyline } from './skyline.js'
import { learnSkyline, type SkylineOptions } from './skyline-learning.js'
import { type SunSeries, sunSeries } from './sun-series.js'
import { type StateColumns, type SunContext, sunStates } from './sun-states.js'

export interface BedSunLearned {
  readonly gain: SensorGain
  readonly skyline: Skyline
  /** hand this to daySun, sunStates and the outlook */
  readonly context: SunContext
  readonly series: SunSeries
  readonly states: StateColumns
}

/**
 * Learns gain and skyline of one placement (one node in one bed).
 *
 * @param readings  weeks of readings, flags from context merged in
 * @param options   what the grower drew, what other beds saw
 */
export function learnBedSun(
  readings: LightReadings,
  place: Place,
  options: SkylineOptions = {},
): BedSunLearned {
  const series = sunSeries(bedLight(readings), place)
  const gain = learnGain(series)
  const openStates = sunStates(series, place, { gainAt: gain.at })
  const skyline = learnSkyline(series, openStates.state, options)
  const context = learnedContext(gain.at, skyline)
  return { gain, skyline, context, series, states: sunStates(series, place, context) }
}
