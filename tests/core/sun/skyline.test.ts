import { describe, expect, it } from 'vitest'
import { NO_READINGS, type Place } from '../../../hub/core/readings.js'
import { learnBedSun } from '../../../hub/core/sun/bed-sun.js'
import { drawnFromFence, drawnFromPoints, drawnTogether } from '../../../hub/core/sun/drawn-skyline.js'
import type { Horizon } from '../../../hub/core/sun/possible-sun.js'
import {
  horizonOf,
  SECTORS,
  sectorMiddleDeg,
  sectorOf,
  skyView,
  unknownSkyline,
} from '../../../hub/core/sun/skyline.js'
import type { SkylineOptions } from '../../../hub/core/sun/skyline-learning.js'
import { SHADE, SUN } from '../../../hub/core/sun/sun-states.js'
import { type MadeUpSky, madeUpLight } from '../../support/made-up-sky.js'

const PLACE: Place = { latitudeDeg: 48, longitudeDeg: 11, elevationM: 500 }
const START_MS = Date.parse('2026-04-01T00:00:00Z')
const DAY_MS = 86_400_000

/** A wall from south-south-west to west-north-west. */
const wall: Horizon = (azimuth) => (azimuth > 200 && azimuth < 290 ? 40 : 2)

function learn(sky: Partial<MadeUpSky>, options: SkylineOptions = {}) {
  const { light, isSun } = madeUpLight({ place: PLACE, startMs: START_MS, days: 30, ...sky })
  return { ...learnBedSun({ light, irradiance: NO_READINGS }, PLACE, options), isSun }
}

describe('a learned skyline', () => {
  it('finds a wall where the sun has met its edge, within 4°', () => {
    const { skyline, series } = learn({ horizon: wall })
    const lowest = new Float64Array(SECTORS).fill(90)
    const highest = new Float64Array(SECTORS)
    for (let i = 0; i < series.timeMs.length; i++) {
      const sector = sectorOf(series.azimuthDeg[i]!)
      lowest[sector] = Math.min(lowest[sector]!, series.elevationDeg[i]!)
      highest[sector] = Math.max(highest[sector]!, series.elevationDeg[i]!)
    }
    let crossed = 0
    let known = 0
    for (let sector = sectorOf(204); sector < sectorOf(288); sector++) {
      if (lowest[sector]! > 38 || highest[sector]! < 42) continue
      crossed++
      expect(Math.abs(skyline.elevationDeg[sector]! - 40)).toBeLessThan(4)
      known += skyline.isKnown[sector]!
    }
    expect(crossed).toBeGreaterThan(2)
    expect(known / crossed).toBeGreaterThan(0.6)
  })

  it('knows only a lower bound where the sun was always behind the wall, and only an upper one where it never was', () => {
    const { skyline } = learn({ horizon: wall })
    const behind = sectorOf(270)
    expect(skyline.lowDeg[behind]).toBeGreaterThan(5)
    expect(skyline.highDeg[behind]).toBeGreaterThan(40)
    expect(skyline.isKnown[behind]).toBe(0)
    const south = sectorOf(180)
    expect(skyline.lowDeg[south]).toBeLessThan(5)
    expect(skyline.highDeg[south]).toBeGreaterThan(30)
    expect(skyline.isKnown[south]).toBe(0)
  })

  it('is unknown where the sun has not yet been', () => {
    const { skyline } = learn({ horizon: wall })
    const north = sectorOf(0)
    expect([skyline.lowDeg[north], skyline.highDeg[north], skyline.isKnown[north]]).toEqual([0, 90, 0])
  })

  it('has the truth in its band nearly everywhere the sun has passed', () => {
    const { skyline, series } = learn({ horizon: wall })
    const passed = new Set<number>()
    for (let i = 0; i < series.timeMs.length; i++) {
      if (series.elevationDeg[i]! > 2) passed.add(sectorOf(series.azimuthDeg[i]!))
    }
    const within = [...passed].filter((sector) => {
      const truth = wall(sectorMiddleDeg(sector))
      return truth >= skyline.lowDeg[sector]! && truth <= skyline.highDeg[sector]!
    })
    expect(within.length / passed.size).toBeGreaterThan(0.9)
  })

  it('stays low over an open place, clouds or not', () => {
    const { skyline, states } = learn({ cloudiness: (day) => [0.2, 0.6, 0.9][day % 3]! })
    expect(Math.max(...skyline.elevationDeg)).toBeLessThan(10)
    const shade = states.state.filter((s) => s === SHADE).length
    const sun = states.state.filter((s) => s === SUN).length
    // low over the horizon haze hides the sun as a hedge does
    expect(shade / sun).toBeLessThan(0.08)
  })

  it('calls the wall’s shadow shade and a cloud before open sky cloud', () => {
    const { states, isSun, series } = learn({ horizon: wall })
    let right = 0
    let all = 0
    for (let i = 0; i < isSun.length; i++) {
      if (isSun[i] === 1 || series.elevationDeg[i]! < 5 || states.state[i] === SUN) continue
      const isBehind = series.elevationDeg[i]! < wall(series.azimuthDeg[i]!)
      if ((states.state[i] === SHADE) === isBehind) right++
      all++
    }
    expect(right / all).toBeGreaterThan(0.9)
  })

  it('follows a hedge that is cut: newer evidence weighs more', () => {
    // before and after the solstice the sun takes the same ways
    const firstMs = Date.parse('2026-05-12T00:00:00Z')
    const cutMs = firstMs + 40 * DAY_MS
    const before = madeUpLight({ place: PLACE, startMs: firstMs, days: 40, horizon: wall })
    const after = madeUpLight({ place: PLACE, startMs: cutMs, days: 40 })
    const join = (a: Float64Array, b: Float64Array): Float64Array => Float64Array.from([...a, ...b])
    const light = {
      timeMs: join(before.light.timeMs, after.light.timeMs),
      value: join(before.light.value, after.light.value),
      flags: new Uint16Array(before.isSun.length + after.isSun.length),
    }
    const whileItStood = learnBedSun({ light: before.light, irradiance: NO_READINGS }, PLACE).skyline
    const { skyline } = learnBedSun({ light, irradiance: NO_READINGS }, PLACE)
    const west = sectorOf(265)
    expect(whileItStood.lowDeg[west]).toBeGreaterThan(25)
    expect(skyline.highDeg[west]).toBeLessThan(whileItStood.lowDeg[west]! + 5)
    expect(skyline.lowDeg[west]).toBeLessThan(10)
  })

  it('learns from what other beds see, where its own sky tells nothing', () => {
    // every day is half clear, but this bed lies behind walls and sees little
    const high: Horizon = () => 50
    const open = madeUpLight({ place: PLACE, startMs: START_MS, days: 12, seed: 5 })
    const sunAt = new Map(
      [...open.light.timeMs].map((ms, i) => [Math.floor(ms / 300_000), open.isSun[i] === 1]),
    )
    const shaded = madeUpLight({ place: PLACE, startMs: START_MS, days: 12, seed: 5, horizon: high })
    const readings = { light: shaded.light, irradiance: NO_READINGS }
    const alone = learnBedSun(readings, PLACE).skyline
    const helped = learnBedSun(readings, PLACE, {
      sunElsewhere: (timeMs) => sunAt.get(Math.floor(timeMs / 300_000)) ?? null,
    }).skyline
    const east = sectorOf(110)
    expect(helped.lowDeg[east]).toBeGreaterThan(15)
    expect(helped.lowDeg[east]).toBeGreaterThanOrEqual(alone.lowDeg[east]!)
  })

  it('takes no readings for what they are: nothing is known', () => {
    const { skyline } = learnBedSun({ light: NO_READINGS, irradiance: NO_READINGS }, PLACE)
    expect([...skyline.isKnown].includes(1)).toBe(false)
    expect(Math.min(...skyline.highDeg)).toBe(90)
  })
})

describe('a drawn skyline', () => {
  it('of a fence is highest at its nearest point: a 2 m fence 2 m away stands 45° high', () => {
    const drawn = drawnFromFence({ heightM: 2, distanceM: 2, directionDeg: 181.5 })
    expect(drawn[sectorOf(181.5)]).toBeCloseTo(45, 6)
    expect(drawn[sectorOf(121.5)]).toBeCloseTo((Math.atan(0.5) * 180) / Math.PI, 6)
    expect(drawn[sectorOf(0)]).toBeNaN()
  })

  it('of a fence with ends stops there', () => {
    const drawn = drawnFromFence({ heightM: 2, distanceM: 2, directionDeg: 0, leftM: 2, rightM: 0.5 })
    expect(drawn[sectorOf(320)]).toBeGreaterThan(0)
    expect(drawn[sectorOf(310)]).toBeNaN()
    expect(drawn[sectorOf(30)]).toBeNaN()
  })

  it('of points runs straight between them, across north too, and says nothing about the rest', () => {
    const drawn = drawnFromPoints([
      { azimuthDeg: 330, elevationDeg: 10 },
      { azimuthDeg: 30, elevationDeg: 40 },
    ])
    expect(drawn[sectorOf(1.5)]).toBeCloseTo(25.75, 6)
    expect(drawn[sectorOf(180)]).toBeNaN()
  })

  it('of several things is the highest of them', () => {
    const low = drawnFromFence({ heightM: 1, distanceM: 2, directionDeg: 180 })
    const high = drawnFromFence({ heightM: 3, distanceM: 2, directionDeg: 180, leftM: 1, rightM: 1 })
    const both = drawnTogether([low, high])
    expect(both[sectorOf(180)]).toBe(high[sectorOf(180)])
    expect(both[sectorOf(120)]).toBe(low[sectorOf(120)])
  })

  it('refuses what is no skyline', () => {
    expect(() => drawnFromPoints([{ azimuthDeg: Number.NaN, elevationDeg: 5 }])).toThrow(RangeError)
    expect(() => drawnFromPoints([{ azimuthDeg: 10, elevationDeg: 95 }])).toThrow(/95/)
    expect(() => drawnFromFence({ heightM: 1, distanceM: 0, directionDeg: 0 })).toThrow(RangeError)
  })

  it('counts as known until the sun shows otherwise', () => {
    const drawn = new Float64Array(SECTORS).fill(30)
    const { skyline } = learn({ horizon: () => 5, cloudiness: () => 0 }, { drawn })
    // no sun has been in the north: the drawing holds
    expect(Math.abs(skyline.elevationDeg[sectorOf(0)]! - 30)).toBeLessThan(1)
    expect(skyline.isKnown[sectorOf(350)]).toBe(0)
    // in the east the sun was seen at 10°: nothing stands there at 30°
    expect(skyline.elevationDeg[sectorOf(95)]).toBeLessThan(15)
  })
})

describe('a skyline as a horizon', () => {
  it('runs straight between the middles of sectors, all around', () => {
    const heights = Float64Array.from({ length: SECTORS }, (_, sector) => sector)
    const horizon = horizonOf(heights)
    expect(horizon(sectorMiddleDeg(10))).toBeCloseTo(10, 9)
    expect(horizon(33)).toBeCloseTo(10.5, 9)
    expect(horizon(0)).toBeCloseTo((0 + SECTORS - 1) / 2, 9)
    expect(horizon(359.999)).toBeCloseTo((0 + SECTORS - 1) / 2, 1)
  })

  it('leaves a level bed the whole sky when open, and cos² of the height within walls', () => {
    const open = { ...unknownSkyline(), isKnown: new Uint8Array(SECTORS).fill(1) }
    expect(skyView(open)).toBe(1)
    const walls = { ...open, elevationDeg: new Float64Array(SECTORS).fill(60) }
    expect(skyView(walls)).toBeCloseTo(0.25, 9)
  })
})
