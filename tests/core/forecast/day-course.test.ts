import { describe, expect, it } from 'vitest'
import { dayAnchors } from '../../../hub/core/forecast/day-anchors.js'
import { type CourseInput, courseAt, hoursUntilEnd } from '../../../hub/core/forecast/day-course.js'
import {
  type AirCycle,
  newDayShape,
  partOfRange,
  placeInCycle,
  shapeVariance,
  shapeWithCycle,
} from '../../../hub/core/forecast/day-shape.js'
import { measuredDay } from '../../../hub/core/forecast/measured-day.js'
import type { TemperatureOdds } from '../../../hub/core/forecast/normal-odds.js'
import { localDay } from '../../../shared/local-time.js'
import { FLAG } from '../../../shared/quality-flags.js'

const place = { latitudeDeg: 50, longitudeDeg: 10, elevationM: 100 }
const timeZone = 'Europe/Berlin'
const HOUR_MS = 3_600_000
const odds = (meanC: number, sdC: number): TemperatureOdds => ({ meanC, sdC, atLeastC: null, atMostC: null })
const input = (over: Partial<CourseInput> = {}): CourseInput => ({
  maxBeforeC: 22,
  days: [
    { date: '2027-05-10', minC: odds(8, 1.5), maxC: odds(20, 2) },
    { date: '2027-05-11', minC: odds(9, 2), maxC: odds(24, 3) },
  ],
  shape: newDayShape(),
  present: null,
  place,
  timeZone,
  ...over,
})

describe('the turning points of a day', () => {
  it('are sunrise and three hours after the sun’s highest point', () => {
    // 10 May, 50° N 10° E: sunrise 05:44, solar noon 13:16 summer time (solar geometry)
    const { coolestMs, warmestMs } = dayAnchors(localDay('2027-05-10', timeZone), place)
    expect(Math.abs(coolestMs - Date.parse('2027-05-10T03:44:00Z'))).toBeLessThan(5 * 60_000)
    expect(Math.abs(warmestMs - Date.parse('2027-05-10T14:16:00Z'))).toBeLessThan(5 * 60_000)
  })

  it('exist in polar day and polar night', () => {
    const arctic = { latitudeDeg: 75, longitudeDeg: 20, elevationM: 0 }
    for (const date of ['2027-06-21', '2027-12-21']) {
      const { coolestMs, warmestMs } = dayAnchors(localDay(date, 'Europe/Oslo'), arctic)
      expect((warmestMs - coolestMs) / HOUR_MS).toBeGreaterThanOrEqual(6)
      expect((warmestMs - coolestMs) / HOUR_MS).toBeLessThanOrEqual(12)
    }
  })
})

describe('the course through the days to come', () => {
  it('turns at the forecast extremes and runs between them', () => {
    const bounds = localDay('2027-05-10', timeZone)
    const { coolestMs, warmestMs } = dayAnchors(bounds, place)
    const morning = (coolestMs + warmestMs) / 2
    const { middleC } = courseAt(input(), [bounds.startMs, coolestMs, morning, warmestMs - 1])
    expect(middleC[0]).toBeGreaterThan(8)
    expect(middleC[0]).toBeLessThan(22)
    expect(middleC[1]).toBeLessThan(9.5)
    expect(middleC[2]).toBeGreaterThan(12)
    expect(middleC[3]).toBeGreaterThan(19)
    expect(middleC[3]).toBeLessThanOrEqual(20)
  })

  it('has no jumps from hour to hour, midnight included', () => {
    const hours = hoursUntilEnd(input(), 0)
    const { middleC } = courseAt(input(), hours)
    for (const [i, valueC] of middleC.entries()) {
      if (i > 0) expect(Math.abs(valueC - middleC[i - 1]!)).toBeLessThan(4)
    }
  })

  it('starts at what the sensor says and comes back to the forecast within the day', () => {
    const present = { timeMs: Date.parse('2027-05-10T07:00:00Z'), airTempC: 18 }
    const times = [0, 3, 24].map((h) => present.timeMs + h * HOUR_MS)
    const without = courseAt(input(), times)
    const from = courseAt(input({ present }), times)
    expect(from.middleC[0]).toBeCloseTo(18, 9)
    expect(from.lowC[0]).toBeCloseTo(18, 9)
    expect(from.highC[0]).toBeCloseTo(18, 9)
    expect(from.middleC[1]).toBeGreaterThan(without.middleC[1]! + 2)
    expect(from.middleC[2]).toBeCloseTo(without.middleC[2]!, 0)
    expect(from.highC[1]! - from.lowC[1]!).toBeLessThan(without.highC[1]! - without.lowC[1]!)
  })

  it('has a band that is as wide as the extremes’ spread and the shape’s own', () => {
    const { warmestMs } = dayAnchors(localDay('2027-05-11', timeZone), place)
    const { lowC, highC } = courseAt(input(), [warmestMs - 1])
    const sdC = (highC[0]! - lowC[0]!) / (2 * 1.28155)
    expect(sdC).toBeGreaterThan(3)
    expect(sdC).toBeLessThan(3.6)
  })

  it.each([
    ['2027-03-28', 23],
    ['2027-10-31', 25],
    ['2027-05-10', 24],
  ])('of %s has %d hours', (date, hours) => {
    const days = [{ date, minC: odds(5, 1), maxC: odds(12, 1) }]
    expect(hoursUntilEnd(input({ days }), 0)).toHaveLength(hours + 1)
    expect(courseAt(input({ days }), hoursUntilEnd(input({ days }), 0)).middleC.every(Number.isFinite)).toBe(
      true,
    )
  })

  it('refuses no days and times outside them', () => {
    expect(() => courseAt(input({ days: [] }), [])).toThrow(RangeError)
    expect(() => courseAt(input(), [Date.parse('2027-05-13T00:00:00Z')])).toThrow(/outside the days/)
    expect(hoursUntilEnd(input({ days: [] }), 0)).toEqual([])
  })
})

describe('the shape of a bed’s day', () => {
  const cycle: AirCycle = {
    warmestBeforeMs: 0,
    coolestMs: 14 * HOUR_MS,
    warmestMs: 24 * HOUR_MS,
    maxBeforeC: 25,
    minC: 10,
    maxC: 30,
  }
  /** A bed that warms as the square of the time since sunrise and cools evenly. */
  const readings = (flags = 0) => {
    const timeMs = Float64Array.from({ length: 144 }, (_, i) => i * HOUR_MS * (1 / 6))
    const value = timeMs.map((ms) => {
      const { phase, along } = placeInCycle(ms, cycle)
      return phase === 'cooling' ? 10 + 15 * (1 - along) : 10 + 20 * along * along
    })
    return { timeMs, value, flags: new Uint16Array(144).fill(flags) }
  }

  it('begins as a fall by night and a sine by day', () => {
    const shape = newDayShape()
    expect(partOfRange(shape, 'cooling', 0.05)).toBeGreaterThan(0.85)
    expect(partOfRange(shape, 'cooling', 1)).toBeLessThan(0.05)
    expect(partOfRange(shape, 'warming', 0.5)).toBeCloseTo(Math.SQRT1_2, 1)
  })

  it('comes to the bed’s own and grows surer of it', () => {
    let shape = newDayShape()
    for (let i = 0; i < 150; i++) shape = shapeWithCycle(shape, cycle, readings())
    expect(partOfRange(shape, 'warming', 0.5)).toBeCloseTo(0.25, 1)
    expect(partOfRange(shape, 'cooling', 0.5)).toBeCloseTo(0.5, 1)
    expect(shapeVariance(shape, 'warming', 0.5)).toBeLessThan(
      0.2 * shapeVariance(newDayShape(), 'warming', 0.5),
    )
  })

  it('learns nothing from bad readings or none', () => {
    expect(shapeWithCycle(newDayShape(), cycle, readings(FLAG.range))).toEqual(newDayShape())
    const none = { timeMs: new Float64Array(), value: new Float64Array(), flags: new Uint16Array() }
    expect(shapeWithCycle(newDayShape(), cycle, none)).toEqual(newDayShape())
  })
})

describe('a measured day', () => {
  const bounds = localDay('2027-05-10', timeZone)
  const hourly = (keep: (hour: number) => boolean) => {
    const hours = Array.from({ length: 24 }, (_, h) => h).filter(keep)
    return {
      timeMs: Float64Array.from(hours, (h) => bounds.startMs + h * HOUR_MS),
      value: Float64Array.from(hours, (h) => (h < 21 ? h : 7)),
      flags: new Uint16Array(hours.length),
    }
  }

  it('has its extremes and the mean of its last three hours', () => {
    const all = hourly(() => true)
    expect(measuredDay(bounds, all, bounds.endMs)).toEqual({
      date: '2027-05-10',
      minC: 0,
      maxC: 20,
      eveningC: 7,
    })
  })

  it('is none before it is over or with a fifth of it unmeasured', () => {
    expect(
      measuredDay(
        bounds,
        hourly(() => true),
        bounds.endMs - 1,
      ),
    ).toBeNull()
    expect(
      measuredDay(
        bounds,
        hourly((h) => h > 7),
        bounds.endMs,
      ),
    ).toBeNull()
  })

  it('has no evening where that was not measured', () => {
    expect(
      measuredDay(
        bounds,
        hourly((h) => h < 21),
        bounds.endMs,
      )?.eveningC,
    ).toBeNull()
  })
})
