/**
 * Source: Reda & Andreas 2003 (rev. 2008), Solar Position Algorithm for Solar Radiation Applications,
 * NREL/TP-560-34302, worked example: 2003-10-17 12:30:30 UTC−7, 39.742476° N, 105.1786° W, 1830.14 m, 820 hPa,
 * 11 °C. Zenith 50.111622°, azimuth 194.340241°.
 * Tolerance: 0.05°, a tenth of the sun's width. The printed digits go further, but the example has the air of
 * 1830 m while the hub assumes standard air.
 */
import { Body, Equator, Horizon, Observer } from 'astronomy-engine'
import { getSpa } from 'nrel-spa'
import { describe, expect, it } from 'vitest'
import type { Place } from '../../hub/core/readings.js'
import { sunPath, sunPosition } from '../../hub/core/sun/position.js'

const TIME_MS = Date.parse('2003-10-17T12:30:30-07:00')
const GOLDEN: Place = { latitudeDeg: 39.742476, longitudeDeg: -105.1786, elevationM: 1830.14 }
const ELEVATION_DEG = 90 - 50.111622
const AZIMUTH_DEG = 194.340241
const TOLERANCE_DEG = 0.05

type Method = (timeMs: number, place: Place) => { elevationDeg: number; azimuthDeg: number }

const astronomyEngine: Method = (timeMs, { latitudeDeg, longitudeDeg, elevationM }) => {
  const date = new Date(timeMs)
  const observer = new Observer(latitudeDeg, longitudeDeg, elevationM)
  const { ra, dec } = Equator(Body.Sun, date, observer, true, true)
  const { altitude, azimuth } = Horizon(date, observer, ra, dec, 'normal')
  return { elevationDeg: altitude, azimuthDeg: azimuth }
}

const spaPort: Method = (timeMs, { latitudeDeg, longitudeDeg, elevationM }) => {
  const spa = getSpa(new Date(timeMs), latitudeDeg, longitudeDeg, 0, {
    elevation: elevationM,
    pressure: 820,
    temperature: 11,
    delta_t: 67,
  })
  return { elevationDeg: 90 - spa.zenith, azimuthDeg: spa.azimuth }
}

describe('the worked example of the NREL solar position algorithm', () => {
  for (const [name, method] of [
    ['the hub', sunPosition],
    ['the port of the algorithm itself (reference)', spaPort],
    ['a second astronomy library (reference)', astronomyEngine],
  ] as const) {
    it(`is met by ${name}`, () => {
      const position = method(TIME_MS, GOLDEN)
      expect(Math.abs(position.elevationDeg - ELEVATION_DEG)).toBeLessThan(TOLERANCE_DEG)
      expect(Math.abs(position.azimuthDeg - AZIMUTH_DEG)).toBeLessThan(TOLERANCE_DEG)
    })
  }
})

describe('sun positions around the world and the year', () => {
  const places: readonly (readonly [string, Place])[] = [
    ['Quito', { latitudeDeg: -0.18, longitudeDeg: -78.47, elevationM: 2850 }],
    ['Hobart', { latitudeDeg: -42.88, longitudeDeg: 147.33, elevationM: 20 }],
    ['Apia', { latitudeDeg: -13.83, longitudeDeg: -171.76, elevationM: 5 }],
    ['Kiritimati', { latitudeDeg: 1.87, longitudeDeg: -157.4, elevationM: 3 }],
    ['Tromsø', { latitudeDeg: 69.65, longitudeDeg: 18.96, elevationM: 10 }],
    ['Rothera', { latitudeDeg: -67.57, longitudeDeg: -68.13, elevationM: 4 }],
  ]
  for (const [name, place] of places) {
    it(`agree with a second library at ${name} within 0.05° whenever the sun is up`, () => {
      const startMs = Date.parse('2026-01-01T00:07:00Z')
      let compared = 0
      for (let step = 0; step < 2000; step++) {
        const timeMs = startMs + step * 4.37 * 3_600_000
        const expected = astronomyEngine(timeMs, place)
        if (expected.elevationDeg < 0.5) continue
        const actual = sunPosition(timeMs, place)
        expect(Math.abs(actual.elevationDeg - expected.elevationDeg)).toBeLessThan(TOLERANCE_DEG)
        // near the zenith a degree of azimuth is next to no angle on the sky
        const around = (((actual.azimuthDeg - expected.azimuthDeg + 540) % 360) - 180) * (Math.PI / 180)
        const onSkyDeg =
          Math.abs(around) * Math.cos((expected.elevationDeg * Math.PI) / 180) * (180 / Math.PI)
        expect(onSkyDeg).toBeLessThan(TOLERANCE_DEG)
        compared++
      }
      expect(compared).toBeGreaterThan(500)
    })
  }
})

describe('sun positions by the column', () => {
  it('are those of the library within 0.005°, below 3° of elevation 0.04°', () => {
    for (const place of [
      { latitudeDeg: 55.8, longitudeDeg: 12.5, elevationM: 50 },
      { latitudeDeg: -0.18, longitudeDeg: -78.47, elevationM: 2850 },
      { latitudeDeg: -42.88, longitudeDeg: 147.33, elevationM: 20 },
    ]) {
      const startMs = Date.parse('2026-03-19T00:00:00Z')
      const timeMs = Float64Array.from({ length: 20_000 }, (_, i) => startMs + i * 97_000)
      const path = sunPath(timeMs, place)
      for (const [i, at] of timeMs.entries()) {
        const { elevationDeg, azimuthDeg } = sunPosition(at, place)
        if (elevationDeg < -1) continue
        const tolerance = elevationDeg < 3 ? 0.04 : 0.005
        expect(Math.abs(path.elevationDeg[i]! - elevationDeg)).toBeLessThan(tolerance)
        const turn =
          (((path.azimuthDeg[i]! - azimuthDeg + 540) % 360) - 180) * Math.cos((elevationDeg * Math.PI) / 180)
        expect(Math.abs(turn)).toBeLessThan(tolerance)
      }
    }
  })
})
