import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  correctedOutlook,
  newExtremesCorrection,
  publicDays,
  withMeasuredExtremes,
  withPublicDays,
} from '../../../hub/core/forecast/corrected-outlook.js'
import { interval80 } from '../../../hub/core/forecast/normal-odds.js'
import {
  type CorrectionState,
  corrected,
  newCorrection,
  withForecast,
  withTruth,
} from '../../../hub/core/forecast/public-correction.js'
import { seededNormals } from './support/made-weather.js'
import { correctAll, type IssuedPoint } from './support/public-forecasts.js'

const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS
const start = Date.parse('2027-04-01T00:00:00Z')

/** Hourly forecasts a day ahead for a bed that runs warmer by `extraC(hour)`, with noise. */
function hourly(days: number, extraC: (hour: number) => number, noiseC: number, seed = 7): IssuedPoint[] {
  const normal = seededNormals(seed)
  return Array.from({ length: days * 24 }, (_, i) => {
    const hour = i % 24
    const forecastC = 14 + 6 * Math.sin((2 * Math.PI * (hour - 9)) / 24)
    const validAtMs = start + i * HOUR_MS
    return {
      issuedAtMs: validAtMs - (hour + 1) * HOUR_MS,
      validAtMs,
      forecastC,
      truthC: forecastC + extraC(hour) + noiseC * normal(),
    }
  })
}

const meanAbsolute = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + Math.abs(value), 0) / values.length

describe('a public forecast corrected to a bed', () => {
  it('is left as it is before anything has come due, with a wide band', () => {
    const [point] = corrected(newCorrection(), start, [{ validAtMs: start + HOUR_MS, airTempC: 17 }])
    expect(point!.odds.meanC).toBe(17)
    expect(point!.verified).toBe(0)
    const { lowC, highC } = interval80(point!.odds)
    expect(highC - lowC).toBeGreaterThan(6)
  })

  it('learns that a bed runs warmer at noon and not at night', () => {
    const southWallC = (hour: number): number => (hour >= 10 && hour <= 18 ? 3 : 0)
    const verified = correctAll(hourly(40, southWallC, 1)).slice(-10 * 24)
    const at = (hour: number) => verified.filter((point) => new Date(point.validAtMs).getUTCHours() === hour)
    const added = (hour: number): number =>
      at(hour).reduce((sum, point) => sum + point.corrected.odds.meanC - point.forecastC, 0) / at(hour).length
    expect(added(14)).toBeGreaterThan(2)
    expect(Math.abs(added(2))).toBeLessThan(0.8)
    expect(meanAbsolute(verified.map((point) => point.corrected.odds.meanC - point.truthC))).toBeLessThan(
      meanAbsolute(verified.map((point) => point.forecastC - point.truthC)),
    )
  })

  it('follows a node that was moved within a few weeks', () => {
    const before = hourly(60, () => -2, 1)
    const after = hourly(30, () => 2, 1, 9).map((point) => ({
      ...point,
      issuedAtMs: point.issuedAtMs + 60 * DAY_MS,
      validAtMs: point.validAtMs + 60 * DAY_MS,
    }))
    const verified = correctAll([...before, ...after])
    const late = verified.slice(-5 * 24)
    expect(meanAbsolute(late.map((point) => point.corrected.odds.meanC - point.truthC))).toBeLessThan(1.2)
  })

  it('holds the truth in 75 to 85 % of its 80 % intervals, whatever the noise and its tails', () => {
    for (const tail of [0, 3]) {
      const normal = seededNormals(31)
      const points = Array.from({ length: 1500 }, (_, i): IssuedPoint => {
        const validAtMs = start + i * DAY_MS
        const noise = normal() * 1.4 + (i % 10 === 0 ? tail * normal() : 0)
        return { issuedAtMs: validAtMs - DAY_MS, validAtMs, forecastC: 15, truthC: 15.8 + noise }
      })
      const verified = correctAll(points).slice(100)
      const held = verified.filter((point) => {
        const { lowC, highC } = interval80(point.corrected.odds)
        return point.truthC >= lowC && point.truthC <= highC
      })
      expect(held.length / verified.length).toBeGreaterThan(0.75)
      expect(held.length / verified.length).toBeLessThan(0.85)
    }
  })

  it('owes nothing to what comes later', () => {
    const temperature = fc.double({ min: -20, max: 40, noNaN: true })
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 29 }),
        fc.array(temperature, { minLength: 30, maxLength: 30 }),
        (cut, other) => {
          const points = Array.from({ length: 30 }, (_, i): IssuedPoint => {
            const validAtMs = start + i * DAY_MS
            return {
              issuedAtMs: validAtMs - DAY_MS,
              validAtMs,
              forecastC: 10 + (i % 7),
              truthC: 12 + (i % 5),
            }
          })
          const changed = points.map((point, i) => (i < cut ? point : { ...point, truthC: other[i]! }))
          // the forecast for day `cut` was issued when day `cut − 1` was known
          const said = (list: readonly IssuedPoint[]) =>
            correctAll(list)
              .slice(0, cut + 1)
              .map((p) => p.corrected)
          expect(said(changed)).toEqual(said(points))
        },
      ),
      { numRuns: 30 },
    )
  })

  it('goes through storage unchanged and never changes a state it was given', () => {
    const points = hourly(10, () => 1, 1)
    let state = newCorrection()
    let stored = newCorrection()
    for (const point of points) {
      const asked = [{ validAtMs: point.validAtMs, airTempC: point.forecastC }]
      const copy = structuredClone(state)
      const next = withTruth(withForecast(state, point.issuedAtMs, asked), point.validAtMs, point.truthC)
      expect(state).toEqual(copy)
      state = next
      stored = JSON.parse(
        JSON.stringify(
          withTruth(withForecast(stored, point.issuedAtMs, asked), point.validAtMs, point.truthC),
        ),
      ) as CorrectionState
    }
    expect(stored).toEqual(state)
  })

  it('counts a forecast once however often it is issued and told', () => {
    const point = { validAtMs: start + 20 * HOUR_MS, airTempC: 12 }
    const once = withTruth(withForecast(newCorrection(), start, [point]), point.validAtMs, 14)
    const often = withTruth(
      withForecast(withForecast(newCorrection(), start, [point]), start + HOUR_MS, [point]),
      point.validAtMs,
      14,
    )
    expect(often.leads[0]!.verified).toBe(1)
    expect(withTruth(once, point.validAtMs, 14)).toEqual(once)
  })

  it('keeps days ahead apart', () => {
    let state = newCorrection()
    for (let i = 0; i < 30; i++) {
      const issuedAtMs = start + i * DAY_MS
      state = withTruth(state, issuedAtMs, 15)
      state = withForecast(state, issuedAtMs, [
        { validAtMs: issuedAtMs + DAY_MS, airTempC: 15 },
        { validAtMs: issuedAtMs + 2 * DAY_MS, airTempC: 12 },
      ])
    }
    const issuedAtMs = start + 30 * DAY_MS
    const [first, second] = corrected(state, issuedAtMs, [
      { validAtMs: issuedAtMs + DAY_MS, airTempC: 15 },
      { validAtMs: issuedAtMs + 2 * DAY_MS, airTempC: 12 },
    ])
    expect(first!.odds.meanC).toBeCloseTo(15, 1)
    expect(second!.odds.meanC).toBeGreaterThan(14)
  })

  it('is not carried away by one absurd reading', () => {
    const points = hourly(30, () => 1, 1)
    const spoilt = points.map((point, i) => (i === 700 ? { ...point, truthC: 85 } : point))
    const lastSaidC = (list: readonly IssuedPoint[]) => correctAll(list).at(-1)!.corrected.odds.meanC
    expect(Math.abs(lastSaidC(spoilt) - lastSaidC(points))).toBeLessThan(0.5)
  })

  it('gives up waiting for truth that does not come', () => {
    let state = newCorrection()
    for (let i = 0; i < 100; i++) {
      const issuedAtMs = start + i * DAY_MS
      state = withForecast(state, issuedAtMs, [{ validAtMs: issuedAtMs + DAY_MS, airTempC: 10 }])
    }
    expect(state.pending.length).toBeLessThan(6)
    expect(state.leads[0]!.verified).toBe(0)
  })

  it('leaves out points that are not ahead, and refuses what is no forecast', () => {
    expect(corrected(newCorrection(), start, [{ validAtMs: start, airTempC: 10 }])).toEqual([])
    expect(() => corrected(newCorrection(), start, [{ validAtMs: start + 1, airTempC: Number.NaN }])).toThrow(
      RangeError,
    )
    expect(() => withTruth(newCorrection(), start, Number.NaN)).toThrow(RangeError)
  })
})

describe('the days of a public forecast', () => {
  const timeZone = 'Europe/Berlin'
  const points = Array.from({ length: 50 }, (_, i) => ({
    validAtMs: Date.parse('2027-05-10T10:00:00Z') + i * HOUR_MS,
    airTempC: 10 + (i % 24),
  }))

  it('are those it covers whole', () => {
    expect(publicDays(points, timeZone).map((day) => day.date)).toEqual(['2027-05-11'])
    expect(publicDays(points, timeZone)[0]).toMatchObject({ minC: 10, maxC: 33 })
    expect(publicDays([], timeZone)).toEqual([])
  })

  it('may come six-hourly, but not with a hole', () => {
    const sixHourly = points.filter((_, i) => i % 6 === 0)
    expect(publicDays(sixHourly, timeZone).map((day) => day.date)).toEqual(['2027-05-11'])
    const holed = points.filter((_, i) => i < 20 || i > 30)
    expect(publicDays(holed, timeZone)).toEqual([])
  })

  it('become the bed’s own once it is known how far it is off', () => {
    let state = newExtremesCorrection()
    const dayAt = (i: number) => {
      const startMs = Date.parse('2027-05-01T22:00:00Z') + i * DAY_MS
      return { date: new Date(startMs + 2 * HOUR_MS).toISOString().slice(0, 10), startMs, minC: 8, maxC: 22 }
    }
    for (let i = 0; i < 40; i++) {
      const issuedAtMs = dayAt(i).startMs - 4 * HOUR_MS
      state = withPublicDays(state, issuedAtMs, [dayAt(i), dayAt(i + 1)])
      state = withMeasuredExtremes(state, dayAt(i).startMs, { minC: 7, maxC: 26 })
    }
    const issuedAtMs = dayAt(40).startMs - 4 * HOUR_MS
    const { days, maxLinks, verified } = correctedOutlook(state, issuedAtMs, [dayAt(40), dayAt(41)], timeZone)
    expect(days.map((day) => day.leadDays)).toEqual([1, 2])
    expect(days[0]!.maxC.meanC).toBeGreaterThan(25)
    expect(days[1]!.maxC.meanC).toBeGreaterThan(25)
    expect(days[0]!.minC.meanC).toBeLessThan(7.4)
    expect(maxLinks).toHaveLength(1)
    expect(verified).toBeGreaterThan(30)
  })
})
