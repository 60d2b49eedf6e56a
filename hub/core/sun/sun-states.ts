/**
 * Sun, cloud, shade or night, reading by reading, from one level light sensor.
 *
 * How: a reading is compared with a clear sky's light (reference-sky.ts). Above the ratio at which thin cloud still
 * lets 120 W/m² of direct light through, the sun shines. Near that ratio the reading alone cannot tell a bright
 * cloud from a veiled sun, so the readings around it have their say: the mark moves towards the middle between
 * the darkest and the brightest of them (dark and bright patches tell sun from cloud by themselves), and a
 * mostly bright time makes sun likelier, a mostly dull one less so. What stands around the bed hides the sun below
 * the skyline: that is shade.
 */
import type { SunState } from '../../../shared/api/measurements.js'
import type { Place } from '../readings.js'
import { around } from './around.js'
import { sunBehindCeiling } from './ceiling.js'
import { type Horizon, LOWEST_SUN_DEG } from './possible-sun.js'
import { type ReferenceSky, referenceSky } from './reference-sky.js'
import type { SunSeries } from './sun-series.js'

/** Index of a state in the columns of sunStates. */
export const SUN_STATES: readonly SunState[] = ['unknown', 'night', 'shade', 'cloud', 'sun']
export const UNKNOWN = 0
export const NIGHT = 1
export const SHADE = 2
export const CLOUD = 3
export const SUN = 4

/** What has been learned about a bed's sensor and sky. All may be left out: a true sensor in the open. */
export interface SunContext {
  /** what the sensor says over what is, at a time */
  readonly gainAt?: (timeMs: number) => number
  /** elevation of what most likely stands around, deg, by azimuth: what possible sun hours are counted by */
  readonly horizon?: Horizon
  /** elevation below which missing sun is put down to shade and not to cloud; left out: the horizon */
  readonly shadeHorizon?: Horizon
  /** part of the sky's diffuse light that reaches the bed past what stands around, 0 to 1 */
  readonly skyView?: number
}

/** Apparent elevation of the sun's centre at sunrise and sunset: half its width (16′) below the horizon. */
const HORIZON_DEG = -0.27

/** How far around a reading its neighbours are heard. Anything from 30 to 60 min does as well. */
export const AROUND_MS = 45 * 60_000

/** What the readings around a reading weigh, in units of light relative to a clear sky. */
export interface VoteWeights {
  /** of their mean distance from the mark */
  readonly mean: number
  /** of the middle between the darkest and the brightest of them */
  readonly middle: number
  /** shifts all marks */
  readonly offset: number
}

/**
 * Chosen on three months at Lyngby (May 2016, June 2017, August 2018): sun hours within 0.22 h/day on average, against 0.27
 * without votes. Tuned on two months and judged on the third they come out much the same (npm run accuracy), and weights a
 * quarter more or less do as well.
 */
export const VOTE_WEIGHTS: VoteWeights = { mean: 0.65, middle: 0.43, offset: 0.012 }

/** Few readings say less: this many count half. Chosen on the same months, reported every 5 and 15 min. */
const HALF_HEARD = 6

/** Beyond this far from the mark a reading says no more than "surely". */
const CLIP = 0.5
/** Whole numbers make the running sums of `around` exact. */
const UNITS = 1e6

/** Light below the skyline must be this much above the mark, by itself, to be sun (a wall's reflection is not). */
const BLOCKED_MARGIN = 0.1

/** What a sensor at its ceiling most likely sees, relative to a clear sky. */
const CEILING_RATIO = 0.95

/**
 * No brighter than this for an hour and a half, with the sun well up, and something lies on the sensor or it lies on its
 * face: the darkest of the three months at Lyngby, a thunderstorm, kept above 0.07.
 */
const COVERED_RATIO = 0.015
const COVERED_FROM_DEG = 8

export interface StateColumns {
  /** index in SUN_STATES */
  readonly state: Uint8Array
  /** 0 to 1: how well the reading supports its state. 1 but for a ceiling that hides the mark */
  readonly certainty: Float64Array
}

/** State of every reading. Depends on readings at most AROUND_MS away on either side. */
export function sunStates(
  series: SunSeries,
  place: Place,
  context: SunContext = {},
  votes: VoteWeights = VOTE_WEIGHTS,
): StateColumns {
  const sky = referenceSky(place.elevationM)
  const { elevationDeg, azimuthDeg, timeMs } = series
  const n = timeMs.length
  const state = new Uint8Array(n)
  const certainty = new Float64Array(n).fill(1)
  const excess = new Float64Array(n)
  let hasHiddenMark = false
  const brightness = new Float64Array(n).fill(Number.NaN)
  const voice = new Float64Array(n).fill(Number.NaN)
  for (let i = 0; i < n; i++) {
    const elevation = elevationDeg[i]!
    if (elevation <= LOWEST_SUN_DEG) {
      state[i] =
        elevation < HORIZON_DEG ? NIGHT : isBlocked(elevation, azimuthDeg[i]!, context) ? SHADE : CLOUD
      continue
    }
    const mark = sunMark(sky, elevation, context)
    const gain = context.gainAt?.(timeMs[i]!) ?? 1
    const ratio = series.clearRatio[i]! / gain
    excess[i] = ratio - mark
    if (elevation >= COVERED_FROM_DEG) brightness[i] = Math.round(ratio * UNITS)
    if (series.isCeiling[i] === 1 && ratio < mark) {
      hasHiddenMark = true
      certainty[i] = ceilingCertainty(ratio, mark)
    }
  }
  if (hasHiddenMark) liftCeilings(series, sky, excess, context)
  for (let i = 0; i < n; i++) {
    if (elevationDeg[i]! <= LOWEST_SUN_DEG) continue
    if (isBlocked(elevationDeg[i]!, azimuthDeg[i]!, context)) state[i] = SHADE
    else voice[i] = Math.round(Math.max(-CLIP, Math.min(CLIP, excess[i]!)) * UNITS)
  }
  const near = around(timeMs, voice, AROUND_MS)
  const light = around(timeMs, brightness, AROUND_MS)
  for (let i = 0; i < n; i++) {
    if (elevationDeg[i]! <= LOWEST_SUN_DEG) continue
    if (elevationDeg[i]! >= COVERED_FROM_DEG && light.highest[i]! < COVERED_RATIO * UNITS) {
      state[i] = UNKNOWN
      continue
    }
    if (state[i] === SHADE) {
      if (excess[i]! > BLOCKED_MARGIN) state[i] = SUN
      continue
    }
    const middle = (near.lowest[i]! + near.highest[i]!) / 2
    const heard = near.count[i]! / (near.count[i]! + HALF_HEARD)
    const vote = (heard * (votes.mean * near.mean[i]! - votes.middle * middle)) / UNITS
    state[i] = excess[i]! + vote + votes.offset > 0 ? SUN : CLOUD
  }
  return { state, certainty }
}

function isBlocked(elevationDeg: number, azimuthDeg: number, context: SunContext): boolean {
  const horizon = context.shadeHorizon ?? context.horizon
  return horizon !== undefined && elevationDeg < horizon(azimuthDeg)
}

/** Light relative to a clear sky at which the sun just shines on this bed. */
function sunMark(sky: ReferenceSky, elevationDeg: number, context: SunContext): number {
  const hidden = 1 - (context.skyView ?? 1)
  return sky.sunRatio(elevationDeg) - hidden * sky.sunDiffuseRatio(elevationDeg)
}

/** A ceiling far under the mark may as well hide a bright cloud. */
function ceilingCertainty(ratio: number, mark: number): number {
  return Math.max(0.5, 1 - (mark - ratio) / mark)
}

/** Puts the likely light in place of a ceiling that hides the mark: a clear sky's, or a bright cloud's. */
function liftCeilings(series: SunSeries, sky: ReferenceSky, excess: Float64Array, context: SunContext): void {
  const isSun = sunBehindCeiling(series, excess, AROUND_MS)
  for (let i = 0; i < excess.length; i++) {
    if (series.isCeiling[i] === 0 || excess[i]! >= 0) continue
    const mark = sunMark(sky, series.elevationDeg[i]!, context)
    excess[i] = isSun[i] === 1 ? CEILING_RATIO - mark : excess[i]! / 2
  }
}
