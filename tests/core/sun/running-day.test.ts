import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { NO_READINGS, type Place } from '../../../hub/core/readings.js'
import { simplifiedSolis } from '../../../hub/core/sun/clear-sky.js'
import { daySun } from '../../../hub/core/sun/day-sun.js'
import { sunPosition } from '../../../hub/core/sun/position.js'
import { runningDay } from '../../../hub/core/sun/running-day.js'
import type { SunContext } from '../../../hub/core/sun/sun-states.js'
import { localDay } from '../../../shared/local-time.js'
import { FLAG } from '../../../shared/quality-flags.js'

const PLACE: Place = { latitudeDeg: 47.4, longitudeDeg: 8.5, elevationM: 400 }
const DAY = localDay('2026-06-03', 'Europe/Zurich')
const CONTEXT: SunContext = {
  gainAt: () => 0.8,
  horizon: (az) => (az > 200 && az < 300 ? 35 : 4),
  skyView: 0.9,
}
const CEILING_LX = 54_612

/** Weather from a row of numbers: cloud by the quarter of an hour, gaps, faults, a ceiling. */
function weather(clouds: readonly number[], stepS: number, isClipped: boolean) {
  const readings: { timeMs: number; value: number; flags: number }[] = []
  for (let timeMs = DAY.startMs; timeMs < DAY.endMs; timeMs += stepS * 1000) {
    const cloud = clouds[Math.floor((timeMs - DAY.startMs) / 900_000) % clouds.length]!
    if (cloud > 0.97) continue
    const clear = simplifiedSolis(sunPosition(timeMs, PLACE).elevationDeg, 0, 1361, 0.1, 1.5).globalWm2
    const lux = clear * 107 * 0.8 * (0.15 + cloud)
    const isAtCeiling = isClipped && lux >= CEILING_LX
    const isFaulty = readings.length % 97 === 0
    readings.push({
      timeMs,
      value: isAtCeiling ? CEILING_LX : lux,
      flags: (isAtCeiling ? FLAG.ceiling : 0) | (isFaulty ? FLAG.range : 0),
    })
  }
  return readings
}

describe('a running day', () => {
  it('has, after any reading, the figures of the day computed at once', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 20, maxLength: 96 }),
        fc.constantFrom(60, 61, 300, 900),
        fc.boolean(),
        fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 1, maxLength: 3 }),
        (clouds, stepS, isClipped, looks) => {
          const readings = weather(clouds, stepS, isClipped)
          const running = runningDay(DAY, 'light', PLACE, CONTEXT)
          const lookAt = new Set(looks.map((part) => Math.floor(part * (readings.length - 1))))
          lookAt.add(readings.length - 1)
          for (const [i, reading] of readings.entries()) {
            expect(running.add(reading.timeMs, reading.value, reading.flags)).toBe(true)
            // asked after every tenth reading, as a page that is open all day would
            if (i % 10 !== 0 && !lookAt.has(i)) continue
            const nowMs = reading.timeMs + 1000
            const now = running.sun(nowMs)
            if (!lookAt.has(i)) continue
            const soFar = readings.slice(0, i + 1)
            const light = {
              timeMs: Float64Array.from(soFar, (r) => r.timeMs),
              value: Float64Array.from(soFar, (r) => r.value),
              flags: Uint16Array.from(soFar, (r) => r.flags),
            }
            const atOnce = daySun(DAY, { light, irradiance: NO_READINGS }, PLACE, nowMs, CONTEXT)
            expect(now.segments).toEqual(atOnce.segments)
            expect(now.sunHours ?? -1).toBeCloseTo(atOnce.sunHours ?? -1, 9)
            expect(now.coverage).toBeCloseTo(atOnce.coverage, 9)
            expect(now.stillPossibleHours).toBe(atOnce.stillPossibleHours)
          }
        },
      ),
      { numRuns: 25 },
    )
  })

  it('refuses a reading that is older than its newest, so that the day is computed anew', () => {
    const running = runningDay(DAY, 'light', PLACE)
    expect(running.add(DAY.startMs + 60_000, 0, 0)).toBe(true)
    expect(running.add(DAY.startMs + 60_000, 5, 0)).toBe(false)
    expect(running.add(DAY.startMs, 5, 0)).toBe(false)
  })

  it('knows nothing before the first reading', () => {
    const sun = runningDay(DAY, 'light', PLACE).sun(DAY.startMs + 12 * 3_600_000)
    expect(sun.sunHours).toBeNull()
    expect(sun.coverage).toBe(0)
  })
})
