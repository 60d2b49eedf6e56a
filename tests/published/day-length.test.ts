/**
 * Day lengths (upper edge of the sun, refraction included) by latitude.
 * 1. 2019-06-21, longitude 90° W, sunrise and sunset to the minute, as printed in a worked example of the Wolfram
 *    Language (community.wolfram.com, "hours of daylight on the summer solstice", 2019). Two times each rounded to
 *    a minute: tolerance 1 minute.
 * 2. Two solstices and an equinox at seven latitudes by a second astronomy library. Tolerance 20 s: the two
 *    agree on the sun to 0.01° but not on the time that a grazing sun needs for it.
 */
import { Body, Observer, SearchRiseSet } from 'astronomy-engine'
import { describe, expect, it } from 'vitest'
import { sunTimes } from '../../hub/core/sun/sun-times.js'

function daylightHours(date: string, latitudeDeg: number, longitudeDeg: number): number {
  const startMs = Date.parse(`${date}T00:00:00Z`) - (longitudeDeg / 15) * 3_600_000
  const day = { date, startMs, endMs: startMs + 86_400_000 }
  return sunTimes(day, { latitudeDeg, longitudeDeg, elevationM: 0 }).daylightHours
}

const SOLSTICE_2019: readonly (readonly [number, number])[] = [
  [0, 12.1167],
  [10, 12.7167],
  [20, 13.35],
  [30, 14.0833],
  [40, 15.0167],
  [45, 15.6167],
  [50, 16.3667],
  [55, 17.3833],
  [60, 18.8667],
  [64, 21.0167],
]

describe('the longest day of 2019', () => {
  for (const [latitudeDeg, hours] of SOLSTICE_2019) {
    it(`lasts ${hours} h at ${latitudeDeg}° N`, () => {
      expect(Math.abs(daylightHours('2019-06-21', latitudeDeg, -90) - hours)).toBeLessThanOrEqual(1 / 60)
    })
  }

  it('has no end at 67° N and no beginning at 67° S', () => {
    expect(daylightHours('2019-06-21', 67, -90)).toBeCloseTo(24, 6)
    expect(daylightHours('2019-06-21', -68, -90)).toBe(0)
  })
})

describe('day lengths of the year', () => {
  for (const latitudeDeg of [-54, -35, -15, 0, 25, 45, 60]) {
    it(`agree with a second library at latitude ${latitudeDeg}`, () => {
      for (const date of ['2026-03-20', '2026-06-21', '2026-12-21']) {
        const observer = new Observer(latitudeDeg, 0, 0)
        const midnight = new Date(`${date}T00:00:00Z`)
        const rise = SearchRiseSet(Body.Sun, observer, 1, midnight, 1)
        const set = SearchRiseSet(Body.Sun, observer, -1, midnight, 1)
        const expected = (set!.date.getTime() - rise!.date.getTime()) / 3_600_000
        expect(Math.abs(daylightHours(date, latitudeDeg, 0) - expected) * 3600).toBeLessThanOrEqual(20)
      }
    })
  }
})
