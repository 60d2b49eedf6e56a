/**
 * A made-up sky with known truth, for tests that must run without measured data: clear light by a published model, clouds that
 * come and go by a seeded chain, something standing around, a sensor of some gain.
 */
import type { Place, ReadingColumns } from '../../hub/core/readings.js'
import { simplifiedSolis } from '../../hub/core/sun/clear-sky.js'
import { sunPath } from '../../hub/core/sun/position.js'
import type { Horizon } from '../../hub/core/sun/possible-sun.js'

export interface MadeUpSky {
  readonly place: Place
  readonly startMs: number
  readonly days: number
  /** part of the time with clouds before the sun, by day; left out: a third on most days, some clear, some dull */
  readonly cloudiness?: (day: number) => number
  readonly horizon?: Horizon
  readonly gain?: (timeMs: number) => number
  readonly stepMs?: number
  readonly seed?: number
}

export interface MadeUpLight {
  readonly light: ReadingColumns
  /** 1 where the sun shines on the bed */
  readonly isSun: Uint8Array
}

const LUX_PER_WM2 = 107
const RAD = Math.PI / 180
const CLOUD_MS = 8 * 60_000
const DAY_MS = 86_400_000
const USUAL = [0, 0.3, 0.9, 0.5, 0.1, 0.7, 0]

/** A small generator of numbers between 0 and 1 (mulberry32). */
export function randomFrom(seed: number): () => number {
  let a = seed >>> 0
  return () => {
    a = (a + 0x6d2b79f5) >>> 0
    let t = Math.imul(a ^ (a >>> 15), 1 | a)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296
  }
}

export function madeUpLight(sky: MadeUpSky): MadeUpLight {
  const { place, startMs, days, horizon, stepMs = 60_000 } = sky
  const cloudiness = sky.cloudiness ?? ((day: number) => USUAL[day % USUAL.length]!)
  const random = randomFrom(sky.seed ?? 1)
  const n = Math.floor((days * DAY_MS) / stepMs)
  const timeMs = Float64Array.from({ length: n }, (_, i) => startMs + i * stepMs)
  const path = sunPath(timeMs, place)
  const value = new Float64Array(n)
  const isSun = new Uint8Array(n)
  let cloud = { untilMs: 0, isThick: false, depth: 0 }
  for (let i = 0; i < n; i++) {
    if (timeMs[i]! >= cloud.untilMs) {
      const share = cloudiness(Math.floor((timeMs[i]! - startMs) / DAY_MS))
      cloud = {
        untilMs: timeMs[i]! + CLOUD_MS * (0.5 + random()),
        isThick: random() < share,
        depth: 0.2 + 0.25 * random(),
      }
    }
    const elevation = path.elevationDeg[i]!
    const clear = simplifiedSolis(elevation, place.elevationM, 1361, 0.1, 1.5)
    const beam = clear.directNormalWm2 * Math.max(0, Math.sin(elevation * RAD))
    const isBlocked = horizon !== undefined && elevation < horizon(path.azimuthDeg[i]!)
    const global = cloud.isThick
      ? cloud.depth * clear.globalWm2
      : (isBlocked ? 0 : beam) + Math.max(0, clear.globalWm2 - beam)
    value[i] = global * LUX_PER_WM2 * (sky.gain?.(timeMs[i]!) ?? 1)
    isSun[i] = !cloud.isThick && !isBlocked && clear.directNormalWm2 > 120 ? 1 : 0
  }
  return { light: { timeMs, value, flags: new Uint16Array(n) }, isSun }
}
