import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { NO_READINGS, type Place, type ReadingColumns } from '../../../hub/core/readings.js'
import { simplifiedSolis } from '../../../hub/core/sun/clear-sky.js'
import { type DaySun, daySun } from '../../../hub/core/sun/day-sun.js'
import { sunPosition } from '../../../hub/core/sun/position.js'
import { type LocalDay, localDay } from '../../../shared/local-time.js'
import { FLAG } from '../../../shared/quality-flags.js'

const PLACE: Place = { latitudeDeg: 47.4, longitudeDeg: 8.5, elevationM: 400 }
const ZONE = 'Europe/Zurich'
const DAY = localDay('2026-05-20', ZONE)
const LATER = DAY.endMs + 86_400_000
const MINUTE_MS = 60_000
const HOUR_MS = 3_600_000
const LUX_PER_WM2 = 107

/** A cloudless sky in clean country air, by a published model that the hub does not compare with. */
const clearSkyWm2 = (elevationDeg: number): number =>
  simplifiedSolis(elevationDeg, 0, 1361, 0.1, 1.5).globalWm2

/** Readings of a day: light by the minute as a function of time and clear-sky irradiance; null leaves one out. */
function lux(
  of: (timeMs: number, clearWm2: number) => number | null,
  day: LocalDay = DAY,
  place: Place = PLACE,
  stepMs = MINUTE_MS,
): ReadingColumns {
  const times: number[] = []
  const values: number[] = []
  for (let timeMs = day.startMs + stepMs / 2; timeMs < day.endMs; timeMs += stepMs) {
    const value = of(timeMs, clearSkyWm2(sunPosition(timeMs, place).elevationDeg))
    if (value === null) continue
    times.push(timeMs)
    values.push(value * LUX_PER_WM2)
  }
  return {
    timeMs: Float64Array.from(times),
    value: Float64Array.from(values),
    flags: new Uint16Array(times.length),
  }
}

const onlyLux = (light: ReadingColumns) => ({ light, irradiance: NO_READINGS })
const clear = (_: number, clearWm2: number): number => clearWm2
const hoursOf = (sun: DaySun, state: string): number =>
  sun.segments.reduce((sum, s) => sum + (s.state === state ? s.toMs - s.fromMs : 0), 0) / HOUR_MS

describe('the sun of a day', () => {
  it('shines all day under a clear sky', () => {
    const sun = daySun(DAY, onlyLux(lux(clear)), PLACE, LATER)
    expect(sun.coverage).toBeCloseTo(1, 3)
    expect(Math.abs(sun.sunHours! - sun.possibleSunHours)).toBeLessThan(0.3)
    expect(sun.stillPossibleHours).toBe(0)
    expect(sun.segments[0]!.state).toBe('night')
    expect(sun.segments.at(-1)!.state).toBe('night')
  })

  it('does not shine under a closed cover of cloud', () => {
    const sun = daySun(DAY, onlyLux(lux((_, w) => 0.25 * w)), PLACE, LATER)
    expect(sun.sunHours).toBe(0)
    expect(hoursOf(sun, 'cloud')).toBeCloseTo(sun.daylightHours, 1)
  })

  it('is the same from irradiance as from lux', () => {
    const light = lux(clear)
    const irradiance = { ...light, value: light.value.map((v) => v / LUX_PER_WM2) }
    const fromLux = daySun(DAY, onlyLux(light), PLACE, LATER)
    const fromIrradiance = daySun(DAY, { light: NO_READINGS, irradiance }, PLACE, LATER)
    expect(fromIrradiance.sunHours).toBeCloseTo(fromLux.sunHours!, 2)
  })

  it('prefers irradiance where both exist and takes lux where irradiance is missing', () => {
    const noonMs = (DAY.startMs + DAY.endMs) / 2
    const dull = lux((timeMs, w) => (timeMs < noonMs ? 0.2 * w : null))
    const irradiance = { ...dull, value: dull.value.map((v) => v / LUX_PER_WM2) }
    const sun = daySun(DAY, { light: lux(clear), irradiance }, PLACE, LATER)
    const sunny = sun.segments.filter((s) => s.state === 'sun')
    expect(sunny.length).toBeGreaterThan(0)
    for (const segment of sunny) expect(segment.fromMs).toBeGreaterThan(noonMs)
    expect(sun.coverage).toBeGreaterThan(0.97)
  })

  it('is unknown in a gap, and the coverage says how much', () => {
    const fromMs = Date.parse('2026-05-20T11:00:00+02:00')
    const toMs = fromMs + 3 * HOUR_MS
    const sun = daySun(
      DAY,
      onlyLux(lux((timeMs, w) => (timeMs > fromMs && timeMs < toMs ? null : w))),
      PLACE,
      LATER,
    )
    expect(hoursOf(sun, 'unknown')).toBeCloseTo(3, 1)
    expect(sun.coverage).toBeCloseTo(1 - 3 / sun.daylightHours, 2)
  })

  it('bridges a single missing reading', () => {
    const light = lux((timeMs, w) => (Math.floor(timeMs / MINUTE_MS) % 10 === 3 ? null : w))
    const sun = daySun(DAY, onlyLux(light), PLACE, LATER)
    expect(sun.coverage).toBeCloseTo(1, 2)
    expect(hoursOf(sun, 'unknown')).toBeLessThan(0.02)
  })

  it('is not known at all without readings', () => {
    const sun = daySun(DAY, onlyLux(NO_READINGS), PLACE, LATER)
    expect(sun.sunHours).toBeNull()
    expect(sun.coverage).toBe(0)
    expect(sun.possibleSunHours).toBeGreaterThan(14)
    expect(hoursOf(sun, 'unknown')).toBeCloseTo(sun.daylightHours, 6)
  })

  it('counts a sensor at its ceiling as at least that much', () => {
    const ceilingLx = 54_612
    const light = lux((_, w) => Math.min(ceilingLx / LUX_PER_WM2, w))
    const flags = Uint16Array.from(light.value, (v) => (v >= ceilingLx - 1 ? FLAG.ceiling | FLAG.stuck : 0))
    const sun = daySun(DAY, onlyLux({ ...light, flags }), PLACE, LATER)
    expect(Math.abs(sun.sunHours! - sun.possibleSunHours)).toBeLessThan(0.3)
    // around noon the ceiling hides whether the sun shines: that doubt is in the coverage
    expect(sun.coverage).toBeGreaterThan(0.9)
    expect(sun.coverage).toBeLessThan(0.99)
  })

  it('has no opinion while something covers the sensor', () => {
    const fromMs = Date.parse('2026-05-20T10:00:00+02:00')
    const light = lux((timeMs, w) => (timeMs > fromMs ? 0.004 * w : w))
    const sun = daySun(DAY, onlyLux(light), PLACE, LATER)
    expect(hoursOf(sun, 'unknown')).toBeGreaterThan(7)
    expect(sun.coverage).toBeLessThan(0.5)
  })

  it('leaves flagged readings out of the coverage', () => {
    const light = lux(clear)
    const flags = Uint16Array.from(light.timeMs, (_, i) => (i % 4 < 2 ? FLAG.range : 0))
    const sun = daySun(DAY, onlyLux({ ...light, flags }), PLACE, LATER)
    expect(sun.coverage).toBeLessThan(0.99)
  })

  it('is computed up to the present while the day lasts', () => {
    const nowMs = Date.parse('2026-05-20T13:00:00+02:00')
    const light = lux((timeMs, w) => (timeMs > nowMs ? null : w))
    const sun = daySun(DAY, onlyLux(light), PLACE, nowMs)
    expect(sun.segments.at(-1)!.toMs).toBe(nowMs)
    expect(sun.coverage).toBeCloseTo(1, 2)
    expect(sun.sunHours! + sun.stillPossibleHours).toBeCloseTo(sun.possibleSunHours, 0)
  })

  it('ignores lamps at night and an offset in the dark', () => {
    const night = daySun(DAY, onlyLux(lux((_, w) => (w === 0 ? 600 : w + 0.05))), PLACE, LATER)
    const plain = daySun(DAY, onlyLux(lux(clear)), PLACE, LATER)
    expect(night.sunHours).toBeCloseTo(plain.sunHours!, 1)
    expect(hoursOf(night, 'night')).toBeCloseTo(24 - night.daylightHours, 6)
  })

  it('has segments without holes, in order, from the start of the day to its end, whatever comes in', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.record({ minute: fc.integer({ min: -120, max: 1_600 }), value: fc.float({ noNaN: true }) }),
          {
            maxLength: 300,
          },
        ),
        fc.integer({ min: 0, max: 1_500 }),
        (points, nowMinute) => {
          const byMinute = new Map(points.map((p) => [p.minute, p.value]))
          const minutes = [...byMinute.keys()].sort((a, b) => a - b)
          const light: ReadingColumns = {
            timeMs: Float64Array.from(minutes, (m) => DAY.startMs + m * MINUTE_MS),
            value: Float64Array.from(minutes, (m) => byMinute.get(m)!),
            flags: new Uint16Array(minutes.length),
          }
          const sun = daySun(DAY, onlyLux(light), PLACE, DAY.startMs + nowMinute * MINUTE_MS)
          let lastMs = DAY.startMs
          for (const { fromMs, toMs } of sun.segments) {
            expect(fromMs).toBe(lastMs)
            expect(toMs).toBeGreaterThan(fromMs)
            lastMs = toMs
          }
          expect(lastMs).toBe(Math.min(DAY.endMs, DAY.startMs + nowMinute * MINUTE_MS))
          expect(sun.coverage).toBeGreaterThanOrEqual(0)
          expect(sun.coverage).toBeLessThanOrEqual(1)
          if (sun.sunHours !== null) {
            expect(sun.sunHours).toBeGreaterThanOrEqual(0)
            expect(sun.sunHours).toBeLessThanOrEqual(sun.daylightHours + 1e-9)
          }
        },
      ),
      { numRuns: 60 },
    )
  })
})

describe('days that are not 24 hours, and places far off', () => {
  it.each([
    ['2026-03-29', 23],
    ['2026-10-25', 25],
  ])('%s is covered whole, all %i hours', (date, hours) => {
    const day = localDay(date, ZONE)
    const sun = daySun(day, onlyLux(lux(clear, day)), PLACE, day.endMs)
    expect(sun.segments.reduce((sum, s) => sum + s.toMs - s.fromMs, 0)).toBe(hours * HOUR_MS)
    expect(Math.abs(sun.sunHours! - sun.possibleSunHours)).toBeLessThan(0.3)
  })

  it('works south of the equator and east of +12:00', () => {
    const place: Place = { latitudeDeg: -36.85, longitudeDeg: 174.76, elevationM: 0 }
    const day = localDay('2026-01-10', 'Pacific/Auckland')
    const sun = daySun(day, onlyLux(lux(clear, day, place)), place, day.endMs)
    expect(sun.sunHours).toBeGreaterThan(13)
    expect(sun.coverage).toBeCloseTo(1, 3)
  })

  it('has sun at midnight and no sunset in the polar day', () => {
    const place: Place = { latitudeDeg: 78.22, longitudeDeg: 15.64, elevationM: 0 }
    const day = localDay('2026-06-21', 'Arctic/Longyearbyen')
    const sun = daySun(day, onlyLux(lux(clear, day, place)), place, day.endMs)
    expect(sun.sunsetMs).toBeNull()
    expect(sun.sunHours).toBeCloseTo(24, 1)
    expect(hoursOf(sun, 'night')).toBe(0)
  })

  it('has no sun and no reproach in the polar night', () => {
    const place: Place = { latitudeDeg: 78.22, longitudeDeg: 15.64, elevationM: 0 }
    const day = localDay('2026-12-21', 'Arctic/Longyearbyen')
    const sun = daySun(day, onlyLux(lux(clear, day, place)), place, day.endMs)
    expect(sun.sunHours).toBe(0)
    expect(sun.possibleSunHours).toBe(0)
    expect(sun.segments).toEqual([{ fromMs: day.startMs, toMs: day.endMs, state: 'night' }])
  })
})
