import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  computeDayRecord,
  type DayOptions,
  type DayReadings,
  DEFAULT_DAY_OPTIONS,
} from '../../../hub/core/days/day-record.js'
import { dailyDegreeDays } from '../../../hub/core/heat/degree-days.js'
import { NO_READINGS, type ReadingColumns } from '../../../hub/core/readings.js'
import { daySun } from '../../../hub/core/sun/day-sun.js'
import type { DayRecord } from '../../../shared/api/measurements.js'
import { type LocalDay, localDay } from '../../../shared/local-time.js'
import { FLAG } from '../../../shared/quality-flags.js'

const PLACE = { latitudeDeg: 55.7, longitudeDeg: 12.5, elevationM: 20 }
const DAY = localDay('2027-06-10', 'Europe/Copenhagen')
const MINUTE_MS = 60_000
const HOUR_MS = 60 * MINUTE_MS
const LATER_MS = DAY.endMs + 30 * 24 * HOUR_MS

/** Readings from one instant to another every step, as a function of the hour of the day. */
function every(
  stepMs: number,
  fromMs: number,
  toMs: number,
  valueAt: (hour: number) => number,
): ReadingColumns {
  const n = Math.ceil((toMs - fromMs) / stepMs)
  const timeMs = Float64Array.from({ length: n }, (_, i) => fromMs + i * stepMs)
  return {
    timeMs,
    value: timeMs.map((t) => valueAt((t - DAY.startMs) / HOUR_MS)),
    flags: new Uint16Array(n),
  }
}
const warmDay = (hour: number): number => 18 - 10 * Math.cos(((hour - 3) / 24) * 2 * Math.PI)

function record(
  readings: Partial<DayReadings>,
  {
    nowMs = LATER_MS,
    options = {},
    day = DAY,
  }: { nowMs?: number; options?: Partial<DayOptions>; day?: LocalDay } = {},
): DayRecord {
  const all = {
    airTemp: NO_READINGS,
    soilTemp: NO_READINGS,
    light: NO_READINGS,
    irradiance: NO_READINGS,
    ...readings,
  }
  const sun = daySun(day, all, PLACE, nowMs)
  return computeDayRecord(day, all, sun, nowMs, { ...DEFAULT_DAY_OPTIONS, ...options })
}
const around = (step: number, valueAt: (hour: number) => number): ReadingColumns =>
  every(step, DAY.startMs - 24 * HOUR_MS, DAY.endMs + 48 * HOUR_MS, valueAt)

describe('a day that is over and fully measured', () => {
  const full = record({
    airTemp: around(10 * MINUTE_MS, warmDay),
    soilTemp: around(10 * MINUTE_MS, () => 15),
  })

  test('has its extremes, mean and whole coverage, and stands', () => {
    expect(full.airTempMinC).toBeCloseTo(8, 1)
    expect(full.airTempMaxC).toBeCloseTo(28, 1)
    expect(full.airTempMeanC).toBeCloseTo(18, 5)
    expect(full.airCoverage).toBe(1)
    expect(full.soilTempMeanC).toBeCloseTo(15, 10)
    expect(full.soilCoverage).toBe(1)
    expect(full.provisional).toBe(false)
  })

  test('counts heat hours above 27 °C and chill hours from 0 to 10 °C', () => {
    // 18 + 10 cos x > 27 for |x| < acos 0.9; below 10 for the mirror image of acos 0.8
    expect(full.heatHours).toBeCloseTo((Math.acos(0.9) / Math.PI) * 24, 0)
    expect(full.chillHours).toBeCloseTo((Math.acos(0.8) / Math.PI) * 24, 0)
  })

  test('has the degree days of its readings', () => {
    expect(full.degreeDaysC).toBeCloseTo(
      dailyDegreeDays('sine', 8, 28, null, { baseC: 4.4, upperC: 26.7, cutoff: 'horizontal' }),
      2,
    )
  })

  test('is the same however far the readings reach beyond it', () => {
    const near = every(10 * MINUTE_MS, DAY.startMs - 10 * MINUTE_MS, DAY.endMs + 10 * MINUTE_MS, warmDay)
    const soil = every(10 * MINUTE_MS, DAY.startMs - 10 * MINUTE_MS, DAY.endMs + 10 * MINUTE_MS, () => 15)
    expect(record({ airTemp: near, soilTemp: soil })).toEqual(full)
  })
})

describe('readings', () => {
  test('at the last millisecond of a day belong to it, at the next midnight to the next', () => {
    const airTemp: ReadingColumns = {
      timeMs: Float64Array.of(DAY.startMs - 1, DAY.startMs, DAY.endMs - 1, DAY.endMs),
      value: Float64Array.of(1, 10, 20, 30),
      flags: new Uint16Array(4),
    }
    const { airTempMinC, airTempMaxC } = record({ airTemp })
    expect([airTempMinC, airTempMaxC]).toEqual([10, 20])
  })

  test('that are flagged touch no figure', () => {
    const clean = around(10 * MINUTE_MS, warmDay)
    const spoilt = around(10 * MINUTE_MS, warmDay)
    const at = spoilt.timeMs.findIndex((t) => t >= DAY.startMs + 15 * HOUR_MS)
    spoilt.value[at] = 85
    spoilt.flags[at] = FLAG.sentinel
    const [a, b] = [record({ airTemp: clean }), record({ airTemp: spoilt })]
    expect(b.airTempMaxC).toBeLessThan(28.1)
    expect(b.airCoverage).toBeCloseTo(143 / 144, 10)
    expect(b.heatHours).toBeCloseTo(a.heatHours! - 1 / 6, 10)
    expect(Math.abs(b.degreeDaysC! - a.degreeDaysC!)).toBeLessThan(0.1)
  })

  test('that are missing altogether leave figures unknown, not zero', () => {
    const none = record({})
    expect(none.airTempMinC).toBeNull()
    expect(none.degreeDaysC).toBeNull()
    expect(none.heatHours).toBeNull()
    expect(none.chillHours).toBeNull()
    expect(none.soilTempMeanC).toBeNull()
    expect(none.sunHours).toBeNull()
    expect(none.dliMolM2).toBeNull()
    expect(none.airCoverage).toBe(0)
  })

  test('that are all bad leave figures unknown as well', () => {
    const bad = around(HOUR_MS, () => -127)
    bad.flags.fill(FLAG.sentinel)
    expect(record({ airTemp: bad }).airTempMeanC).toBeNull()
  })

  test('of light give the day’s light: 54,000 lx for ten hours are 36 mol', () => {
    const light = around(10 * MINUTE_MS, (hour) => (hour >= 7 && hour < 17 ? 54_000 : 0))
    expect(record({ light }).dliMolM2).toBeCloseTo(36, 1)
  })
})

describe('a day with holes', () => {
  const withHole = (fromHour: number, toHour: number): ReadingColumns => {
    const full = around(10 * MINUTE_MS, () => 14.4)
    const keep = [...full.timeMs.keys()].filter((i) => {
      const hour = (full.timeMs[i]! - DAY.startMs) / HOUR_MS
      return hour < fromHour || hour >= toHour
    })
    return {
      timeMs: Float64Array.from(keep, (i) => full.timeMs[i]!),
      value: Float64Array.from(keep, (i) => full.value[i]!),
      flags: new Uint16Array(keep.length),
    }
  }

  test('small enough is filled with the mean of the rest, and says so by its coverage', () => {
    const day = record({ airTemp: withHole(10, 14) })
    expect(day.airCoverage).toBeCloseTo(20 / 24, 10)
    expect(day.degreeDaysC).toBeCloseTo(10, 10)
    expect(day.provisional).toBe(false)
  })

  test('below the completeness rule counts only what was measured, as provisional', () => {
    const day = record({ airTemp: withHole(8, 20) })
    expect(day.airCoverage).toBeCloseTo(0.5, 10)
    expect(day.degreeDaysC).toBeCloseTo(5, 10)
    expect(day.provisional).toBe(true)
  })

  test('in the soil record is provisional too, though a bed without a soil sensor is not', () => {
    const air = around(10 * MINUTE_MS, warmDay)
    expect(record({ airTemp: air }).provisional).toBe(false)
    expect(record({ airTemp: air, soilTemp: withHole(2, 20) }).provisional).toBe(true)
  })
})

describe('the day that is running', () => {
  const noonMs = DAY.startMs + 12 * HOUR_MS
  const soFar = every(10 * MINUTE_MS, DAY.startMs - 24 * HOUR_MS, noonMs, () => 14.4)

  test('counts what has passed, is well covered, and provisional', () => {
    const day = record({ airTemp: soFar }, { nowMs: noonMs })
    expect(day.airCoverage).toBe(1)
    expect(day.degreeDaysC).toBeCloseTo(5, 10)
    expect(day.provisional).toBe(true)
  })

  test('grows without a jump at midnight', () => {
    const airTemp = around(10 * MINUTE_MS, () => 14.4)
    const before = record({ airTemp }, { nowMs: DAY.endMs - 1 })
    const after = record({ airTemp }, { nowMs: DAY.endMs })
    expect(after.degreeDaysC! - before.degreeDaysC!).toBeLessThan(0.001)
  })

  test('that has not begun has nothing', () => {
    const day = record(
      { airTemp: every(HOUR_MS, DAY.startMs - 24 * HOUR_MS, DAY.startMs, warmDay) },
      {
        nowMs: DAY.startMs - HOUR_MS,
      },
    )
    expect(day.degreeDaysC).toBeNull()
    expect(day.airCoverage).toBe(0)
    expect(day.provisional).toBe(true)
  })
})

describe('the daily methods', () => {
  const airTemp = around(10 * MINUTE_MS, (hour) => (hour < 24 ? warmDay(hour) : warmDay(hour) + 3))
  const limits = { baseC: 4.4, upperC: 26.7, cutoff: 'horizontal' } as const

  test('work from the minimum and maximum of the readings', () => {
    const day = record({ airTemp }, { options: { method: 'clamped-average' } })
    expect(day.degreeDaysC).toBe(
      dailyDegreeDays('clamped-average', day.airTempMinC!, day.airTempMaxC!, null, limits),
    )
  })

  test("the double ones look for tomorrow's minimum", () => {
    const day = record({ airTemp }, { options: { method: 'double-sine' } })
    expect(day.degreeDaysC).toBeCloseTo(dailyDegreeDays('double-sine', 8, 28, 11, limits), 2)
    expect(day.provisional).toBe(false)
  })

  test("are provisional until tomorrow is over, with today's minimum standing in", () => {
    const today = every(10 * MINUTE_MS, DAY.startMs, DAY.endMs, warmDay)
    const day = record({ airTemp: today }, { nowMs: DAY.endMs + 1, options: { method: 'double-sine' } })
    expect(day.degreeDaysC).toBeCloseTo(dailyDegreeDays('sine', 8, 28, null, limits), 2)
    expect(day.provisional).toBe(true)
  })
})

describe('days of other lengths', () => {
  test.each([
    ['2027-03-28', 23],
    ['2027-10-31', 25],
  ])('%s in Copenhagen has %d hours, and covers them all', (date, hours) => {
    const day = localDay(date, 'Europe/Copenhagen')
    expect((day.endMs - day.startMs) / HOUR_MS).toBe(hours)
    const airTemp = every(15 * MINUTE_MS, day.startMs - HOUR_MS, day.endMs + HOUR_MS, () => 28)
    const full = record({ airTemp }, { day, nowMs: day.endMs + HOUR_MS })
    expect(full.airCoverage).toBe(1)
    expect(full.heatHours).toBeCloseTo(hours, 10)
    // a calendar day is one day to a degree-day table, whatever its length
    expect(full.degreeDaysC).toBeCloseTo(22.3, 10)
  })
})

describe('any readings at all', () => {
  test('give the same record when computed again, with figures in order', () => {
    const readings = fc
      .array(
        fc.record({
          gap: fc.integer({ min: 1, max: 4 * 60 }),
          value: fc.double({ min: -30, max: 50, noNaN: true }),
          flag: fc.constantFrom(0, 0, 0, FLAG.step, FLAG.ceiling),
        }),
        { maxLength: 80 },
      )
      .map((rows): ReadingColumns => {
        let t = DAY.startMs - 3 * HOUR_MS
        return {
          timeMs: Float64Array.from(rows, (row) => {
            t += row.gap * MINUTE_MS
            return t
          }),
          value: Float64Array.from(rows, (row) => row.value),
          flags: Uint16Array.from(rows, (row) => row.flag),
        }
      })
    fc.assert(
      fc.property(readings, (airTemp) => {
        const day = record({ airTemp })
        expect(record({ airTemp })).toEqual(day)
        expect(day.airCoverage).toBeGreaterThanOrEqual(0)
        expect(day.airCoverage).toBeLessThanOrEqual(1)
        if (day.airTempMinC === null) return
        expect(day.airTempMinC).toBeLessThanOrEqual(day.airTempMeanC! + 1e-9)
        expect(day.airTempMeanC).toBeLessThanOrEqual(day.airTempMaxC! + 1e-9)
        expect(day.degreeDaysC).toBeGreaterThanOrEqual(0)
        expect(day.degreeDaysC).toBeLessThanOrEqual(22.3 + 1e-9)
      }),
    )
  })
})

describe('options that make no sense are refused', () => {
  test.each([
    [{ upperC: 4 }],
    [{ heatAboveC: Number.NaN }],
    [{ chillAboveC: 12 }],
    [{ baseC: Number.POSITIVE_INFINITY }],
  ])('%o', (options) => {
    expect(() => record({}, { options })).toThrow(RangeError)
  })
})
