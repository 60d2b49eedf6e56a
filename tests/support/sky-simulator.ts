/**
 * Puts a skyline before the measured light of an open station, so that the truth of a shaded bed is known by the
 * minute: direct light is cut where the sun stands below the skyline, diffuse light is lessened by the part of the
 * sky that is hidden, and what hides it reflects a little.
 */
import type { Place, ReadingColumns } from '../../hub/core/readings.js'
import { sunPath } from '../../hub/core/sun/position.js'
import type { Horizon } from '../../hub/core/sun/possible-sun.js'
import { SUNSHINE_DIRECT_WM2, type SunRecord } from './measured-sunshine.js'

export type TrueState = 'sun' | 'cloud' | 'shade' | 'night'

export interface ShadedBed {
  readonly place: Place
  readonly horizon: Horizon
  readonly light: ReadingColumns
  readonly state: readonly TrueState[]
}

const LUX_PER_WM2 = 107
const RAD = Math.PI / 180
/** Brick, wood and leaves send back about a fifth of the light. */
const REFLECTED = 0.2

const turned = (deg: number): number => ((((deg + 180) % 360) + 360) % 360) - 180

/** A straight fence: height over distance, nearest point towards an azimuth. */
export const fence =
  (heightM: number, distanceM: number, towardsDeg: number): Horizon =>
  (azimuthDeg) => {
    const aside = turned(azimuthDeg - towardsDeg)
    return Math.abs(aside) < 89 ? Math.atan((heightM / distanceM) * Math.cos(aside * RAD)) / RAD : 0
  }

/** A house corner: a block of even height between two azimuths. */
export const block =
  (fromDeg: number, toDeg: number, heightDeg: number): Horizon =>
  (azimuthDeg) => {
    const along = (((azimuthDeg - fromDeg) % 360) + 360) % 360
    return along <= toDeg - fromDeg ? heightDeg : 0
  }

/** A round tree crown on its trunk, as a solid hill of leaves. */
export const crown =
  (middleDeg: number, halfWidthDeg: number, topDeg: number): Horizon =>
  (azimuthDeg) => {
    const aside = turned(azimuthDeg - middleDeg) / halfWidthDeg
    return Math.abs(aside) < 1 ? topDeg * Math.sqrt(1 - aside * aside) : 0
  }

/** Walls all around, of even height. */
export const walls =
  (heightDeg: number): Horizon =>
  () =>
    heightDeg

/** Several things that stand around: the highest counts. */
export const together =
  (...parts: Horizon[]): Horizon =>
  (azimuthDeg) =>
    Math.max(0, ...parts.map((part) => part(azimuthDeg)))

/** What a level lux sensor in such a bed reads, and the truth. */
export function shadedBed(
  record: SunRecord,
  horizon: Horizon,
  { gain = 1, intervalMinutes = 1 }: { gain?: number; intervalMinutes?: number } = {},
): ShadedBed {
  let view = 0
  for (let azimuth = 0; azimuth < 360; azimuth++) view += Math.cos(horizon(azimuth) * RAD) ** 2 / 360
  const { elevationDeg, azimuthDeg } = sunPath(record.timeMs, record.place)
  const times: number[] = []
  const values: number[] = []
  const states: TrueState[] = []
  for (let i = 0; i < record.timeMs.length; i++) {
    if (Math.floor(record.timeMs[i]! / 60_000) % intervalMinutes !== 0) continue
    const global = record.globalWm2[i]!
    const direct = record.directNormalWm2[i]!
    if (Number.isNaN(global) || Number.isNaN(direct)) continue
    const elevation = elevationDeg[i]!
    const isBlocked = elevation < horizon(azimuthDeg[i]!)
    const beam = Math.max(0, direct) * Math.max(0, Math.sin(elevation * RAD))
    const diffuse = Math.max(0, global - beam)
    const bed = (isBlocked ? 0 : beam) + diffuse * view + REFLECTED * (1 - view) * global
    times.push(record.timeMs[i]!)
    values.push(bed * gain * LUX_PER_WM2)
    states.push(
      elevation < -0.27 ? 'night' : isBlocked ? 'shade' : direct > SUNSHINE_DIRECT_WM2 ? 'sun' : 'cloud',
    )
  }
  return {
    place: record.place,
    horizon,
    light: {
      timeMs: Float64Array.from(times),
      value: Float64Array.from(values),
      flags: new Uint16Array(times.length),
    },
    state: states,
  }
}
