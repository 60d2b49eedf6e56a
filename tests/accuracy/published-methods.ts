/** Published methods of sunshine from global irradiance, run on a record: what ours is compared with. */
import { sunPath } from '../../hub/core/sun/position.js'
import {
  olivieriThresholdWm2,
  slobMonnaFraction,
  stepMethodThresholdWm2,
} from '../../hub/core/sun/sunshine-methods.js'
import type { SunRecord } from '../support/measured-sunshine.js'
import type { SunTime } from './daily-score.js'

export type PublishedMethod = 'naive' | 'olivieri' | 'slob-monna' | 'step'

export const PUBLISHED_METHODS: readonly { readonly id: PublishedMethod; readonly name: string }[] = [
  { id: 'naive', name: 'global > 120 W/m² (naive)' },
  { id: 'step', name: 'step method, G > 0.4 outside' },
  { id: 'slob-monna', name: 'Slob & Monna 1991' },
  { id: 'olivieri', name: 'Olivieri / Météo-France' },
]

const DAY_MS = 86_400_000
const RAD = Math.PI / 180
const TEN_MINUTES_MS = 600_000

/** @param global  irradiance as the sensor says, W/m², by minute of the record; NaN where missing */
export function publishedSun(
  method: PublishedMethod,
  record: SunRecord,
  global: Float64Array,
  intervalMinutes: number,
): SunTime {
  const { elevationDeg } = sunPath(record.timeMs, record.place)
  const n = record.timeMs.length
  const hours = new Float64Array(n)
  const isReported = (i: number): boolean =>
    Math.floor(record.timeMs[i]! / 60_000) % intervalMinutes === 0 && !Number.isNaN(global[i]!)
  const share = intervalMinutes / 60
  if (method === 'slob-monna') return { timeMs: record.timeMs, hours: slobMonna(record, global, isReported) }
  for (let i = 0; i < n; i++) {
    if (!isReported(i)) continue
    const timeMs = record.timeMs[i]!
    const elevation = elevationDeg[i]!
    const yearStart = Date.UTC(new Date(timeMs).getUTCFullYear(), 0, 1)
    const threshold =
      method === 'naive'
        ? 120
        : method === 'step'
          ? stepMethodThresholdWm2(elevation, timeMs)
          : olivieriThresholdWm2(elevation, (timeMs - yearStart) / DAY_MS + 1)
    if (elevation > 0 && global[i]! > threshold) hours[i] = share
  }
  return { timeMs: record.timeMs, hours }
}

/** Ten-minute intervals with mean, lowest and highest of the reports in them. */
function slobMonna(
  record: SunRecord,
  global: Float64Array,
  isReported: (i: number) => boolean,
): Float64Array {
  const { timeMs } = record
  const hours = new Float64Array(timeMs.length)
  const { elevationDeg } = sunPath(
    timeMs.map((ms) => (Math.floor(ms / TEN_MINUTES_MS) + 0.5) * TEN_MINUTES_MS),
    record.place,
  )
  for (let i = 0; i < timeMs.length; ) {
    const interval = Math.floor(timeMs[i]! / TEN_MINUTES_MS)
    const first = i
    let sum = 0
    let count = 0
    let lowest = Number.POSITIVE_INFINITY
    let highest = Number.NEGATIVE_INFINITY
    for (; i < timeMs.length && Math.floor(timeMs[i]! / TEN_MINUTES_MS) === interval; i++) {
      if (!isReported(i)) continue
      sum += global[i]!
      count++
      lowest = Math.min(lowest, global[i]!)
      highest = Math.max(highest, global[i]!)
    }
    if (count === 0) continue
    const sine = Math.sin(elevationDeg[first]! * RAD)
    hours[first] = slobMonnaFraction(sine, sum / count, lowest, highest) / 6
  }
  return hours
}
