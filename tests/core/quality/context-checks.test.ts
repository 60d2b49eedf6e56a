import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { CONTEXT_MS, contextFlags, contextMs } from '../../../hub/core/quality/context-checks.js'
import type { ReadingColumns } from '../../../hub/core/readings.js'
import { FLAG } from '../../../shared/quality-flags.js'
import { QUANTITIES } from '../../../shared/quantities.js'

const MINUTE_MS = 60_000
const HOUR_MS = 60 * MINUTE_MS

/** Readings every `stepMinutes`. */
function series(values: readonly number[], stepMinutes: number): ReadingColumns {
  return {
    timeMs: Float64Array.from(values, (_, i) => i * stepMinutes * MINUTE_MS),
    value: Float64Array.from(values),
    flags: new Uint16Array(values.length),
  }
}
const flagged = (flags: Uint16Array, flag: number): number[] =>
  [...flags.keys()].filter((i) => (flags[i]! & flag) !== 0)
const repeat = (value: number, n: number): number[] => Array.from({ length: n }, () => value)
/** A sunny day's air temperature, coldest at 5 h, warmest at 15 h. */
const dayCourse = (hours: number): number => 18 - 8 * Math.cos(((hours - 3) / 24) * 2 * Math.PI)
const course = (n: number, stepMinutes: number): number[] =>
  Array.from({ length: n }, (_, i) => Math.round(dayCourse((i * stepMinutes) / 60) * 16) / 16)

describe('step', () => {
  test('a reading that leaps away and back is flagged, and its neighbours are not', () => {
    const values = course(120, 10)
    values[60] = values[60]! + 15
    expect(flagged(contextFlags('air-temp', series(values, 10)), FLAG.step)).toEqual([60])
  })

  test('an excursion of up to three readings is flagged whole', () => {
    const values = course(120, 10)
    for (const i of [60, 61, 62]) values[i] = values[i]! - 20
    expect(flagged(contextFlags('air-temp', series(values, 10)), FLAG.step)).toEqual([60, 61, 62])
  })

  test('a cold front that falls fourteen degrees in five minutes and stays is weather', () => {
    const values = [...repeat(31, 20), 24, 19, ...repeat(17, 20)].map((v, i) => v + (i % 3) * 0.0625)
    expect(flagged(contextFlags('air-temp', series(values, 5)), FLAG.step)).toEqual([])
  })

  test('a steep sunny morning in hourly readings is weather', () => {
    const values = [4, 4, 5, 9, 16, 22, 25, 27, 27, 25, 19, 13, 9, 7, 6]
    expect(flagged(contextFlags('air-temp', series(values, 60)), FLAG.step)).toEqual([])
  })

  test('the newest reading has nobody after it to speak against it', () => {
    const values = [...repeat(12, 10), 40]
    expect(flagged(contextFlags('soil-temp', series(values, 10)), FLAG.step)).toEqual([])
    expect(flagged(contextFlags('soil-temp', series([...values, 12.1, 12.1, 12.1], 10)), FLAG.step)).toEqual([
      10,
    ])
  })

  test('readings on the far side of a long hole have no say', () => {
    const { value, flags } = series([12, 12, 12, 30, 12, 12, 12], 10)
    const hole = Float64Array.from([0, 10, 20, 300, 600, 610, 620], (m) => m * MINUTE_MS)
    expect(flagged(contextFlags('air-temp', { timeMs: hole, value, flags }), FLAG.step)).toEqual([])
  })

  test('a reading that condemned itself on arrival has no say either', () => {
    const readings = series([12, 12, 85, 12.1, 85, 12, 12], 10)
    readings.flags[2] = FLAG.sentinel
    readings.flags[4] = FLAG.sentinel
    expect([...contextFlags('air-temp', readings)]).toEqual([0, 0, FLAG.sentinel, 0, FLAG.sentinel, 0, 0])
  })

  test('light may leap as it likes', () => {
    const values = Array.from({ length: 60 }, (_, i) => (i % 2 === 0 ? 95_000 + i : 12_000 + i))
    expect(flagged(contextFlags('light', series(values, 1)), FLAG.step)).toEqual([])
  })
})

describe('stuck', () => {
  test('air that stands still to the last digit for half a day is flagged whole', () => {
    const values = [...course(30, 30), ...repeat(21.3, 25), ...course(30, 30)]
    const stuck = flagged(contextFlags('air-temp', series(values, 30)), FLAG.stuck)
    expect(stuck).toEqual(Array.from({ length: 25 }, (_, i) => 30 + i))
  })

  test('eleven hours of still night air, read in steps of 0.0625 °C, are weather', () => {
    const values = [...course(30, 30), ...repeat(9.8125, 23), ...course(30, 30)]
    expect(flagged(contextFlags('air-temp', series(values, 30)), FLAG.stuck)).toEqual([])
  })

  test('a sensor of whole degrees may stand through a dull winter day, yet not through two', () => {
    const around = course(30, 30)
    const standing = (hours: number) => [...around, ...repeat(4, hours * 2 + 1), ...around]
    expect(flagged(contextFlags('air-temp', series(standing(29), 30)), FLAG.stuck)).toEqual([])
    expect(flagged(contextFlags('air-temp', series(standing(30), 30)), FLAG.stuck)).toHaveLength(61)
  })

  test('soil at 0.0 °C under snow may stand for weeks', () => {
    expect(flagged(contextFlags('soil-temp', series(repeat(0, 24 * 30), 60)), FLAG.stuck)).toEqual([])
    expect(flagged(contextFlags('soil-temp', series(repeat(0.4375, 24 * 30), 60)), FLAG.stuck)).toEqual([])
  })

  test('soil at 14.2 °C may not stand for two days', () => {
    const flags = contextFlags('soil-temp', series(repeat(14.2, 49), 60))
    expect(flagged(flags, FLAG.stuck)).toHaveLength(49)
    expect(flagged(contextFlags('soil-temp', series(repeat(14.2, 47), 60)), FLAG.stuck)).toEqual([])
  })

  test('darkness may last for months', () => {
    expect(flagged(contextFlags('light', series(repeat(0, 24 * 60), 60)), FLAG.stuck)).toEqual([])
    expect(flagged(contextFlags('irradiance', series(repeat(-1.8, 24 * 60), 60)), FLAG.stuck)).toEqual([])
  })

  test('daylight that stands still for three hours is a fault', () => {
    const values = [...repeat(0, 10), ...repeat(8_214, 13), ...repeat(0, 10)]
    expect(flagged(contextFlags('light', series(values, 15)), FLAG.stuck)).toHaveLength(13)
  })

  test('fog may hold humidity at its wet end for days', () => {
    expect(flagged(contextFlags('humidity', series(repeat(99.9, 24 * 6), 60)), FLAG.stuck)).toEqual([])
  })

  test('a hole ends a standstill: two equal readings a day apart are no proof', () => {
    expect(flagged(contextFlags('air-temp', series([20, 20], 24 * 60)), FLAG.stuck)).toEqual([])
  })
})

describe('a light sensor at its ceiling', () => {
  const clearDay = (ceilingLx: number): number[] =>
    Array.from({ length: 97 }, (_, i) =>
      Math.min(ceilingLx, Math.max(0, Math.round(110_000 * Math.sin(((i - 20) / 57) * Math.PI)))),
    )

  test('an unknown ceiling shows as a plateau at the top of a clear day: `ceiling`, not `stuck`', () => {
    const flags = contextFlags('light', series(clearDay(47_300), 15))
    const atTop = clearDay(47_300).flatMap((v, i) => (v === 47_300 ? [i] : []))
    expect(atTop.length).toBeGreaterThan(20)
    expect(flagged(flags, FLAG.ceiling)).toEqual(atTop)
    expect(flagged(flags, FLAG.stuck)).toEqual([])
  })

  test('a known ceiling, flagged on arrival, is never stuck', () => {
    const readings = series(clearDay(54_612), 15)
    for (const [i, v] of readings.value.entries()) if (v === 54_612) readings.flags[i] = FLAG.ceiling
    expect(flagged(contextFlags('light', readings), FLAG.stuck)).toEqual([])
  })

  test('a standstill below brighter readings is no ceiling', () => {
    const values = [61_000, 61_500, ...repeat(30_000, 6), 61_200]
    expect(flagged(contextFlags('light', series(values, 10)), FLAG.ceiling)).toEqual([])
  })

  test('no place on Earth keeps a level sensor in full light for fifteen hours', () => {
    expect(flagged(contextFlags('light', series(repeat(47_300, 61), 15)), FLAG.stuck)).toHaveLength(61)
  })
})

describe('dropout', () => {
  test('a lone exact zero on a summer afternoon is flagged, also between missing readings', () => {
    const { value, flags } = series([24.8, 25.1, 0, 25.2, 25.0], 1)
    const timeMs = Float64Array.from([0, 1, 3, 5, 6], (m) => m * MINUTE_MS)
    expect(flagged(contextFlags('air-temp', { timeMs, value, flags }), FLAG.dropout)).toEqual([2])
  })

  test('a zero on the way through zero is weather', () => {
    const values = [1.5, 1.0, 0.5, 0, -0.5, -1, -0.5, 0, 0.5]
    expect([...contextFlags('air-temp', series(values, 30))]).toEqual(repeat(0, 9))
  })

  test('a frost between two mild readings hours apart is weather', () => {
    const values = [6, 0, 6]
    expect(flagged(contextFlags('air-temp', series(values, 180)), FLAG.dropout)).toEqual([])
  })

  test('a zero among frosts is flagged as well', () => {
    expect(flagged(contextFlags('air-temp', series([-9, -9.1, 0, -9.2], 10)), FLAG.dropout)).toEqual([2])
  })

  test('a black minute at noon is flagged, nightfall is not', () => {
    expect(flagged(contextFlags('light', series([41_000, 0, 40_000], 1)), FLAG.dropout)).toEqual([1])
    expect(flagged(contextFlags('light', series([900, 40, 0, 0, 0], 10)), FLAG.dropout)).toEqual([])
  })

  test('a dry zero of humidity is flagged', () => {
    expect(flagged(contextFlags('humidity', series([60, 0, 61], 10)), FLAG.dropout)).toEqual([1])
  })
})

describe('whatever the readings', () => {
  test('flags that were there stay, and the input is not touched', () => {
    const readings = series([20, 0, 20], 10)
    readings.flags[1] = FLAG.clock
    const flags = contextFlags('air-temp', readings)
    expect(flags[1]! & FLAG.clock).toBe(FLAG.clock)
    expect(readings.flags[1]).toBe(FLAG.clock)
  })

  test('quantities without limits are left alone', () => {
    for (const quantity of ['battery', 'signal', 'leaf-wetness']) {
      expect([...contextFlags(quantity, series([1, 99, 1, ...repeat(1, 500)], 10))].some(Boolean)).toBe(false)
      expect(contextMs(quantity)).toBe(0)
    }
  })

  test('no quantity needs more context than CONTEXT_MS', () => {
    for (const quantity of QUANTITIES.keys()) expect(contextMs(quantity)).toBeLessThanOrEqual(CONTEXT_MS)
  })

  // a coarse alphabet of values makes standstills, zeros, leaps and plateaus common
  const alphabet: Record<string, number[]> = {
    'air-temp': [0, 12, 12.5, 13, 30, -9],
    'soil-temp': [0, 12, 12.5, 30],
    light: [0, 300, 8_000, 47_300, 90_000],
    irradiance: [-2, 0, 60, 700],
    humidity: [0, 60, 99],
  }
  const stretch = (quantity: string) =>
    fc.record({
      value: fc.constantFrom(...alphabet[quantity]!),
      count: fc.integer({ min: 1, max: 40 }),
      stepMinutes: fc.constantFrom(1, 15, 60, 89, 91, 300),
      flag: fc.constantFrom(0, 0, 0, FLAG.ceiling, FLAG.range),
    })

  for (const quantity of Object.keys(alphabet)) {
    test(`${quantity}: the promised context decides, so any longer stretch of readings gives the same flags`, () => {
      fc.assert(
        fc.property(
          fc.array(stretch(quantity), { minLength: 1, maxLength: 25 }),
          fc.nat(),
          (stretches, pick) => {
            const timeMs: number[] = []
            const value: number[] = []
            const flags: number[] = []
            let t = 0
            for (const part of stretches) {
              for (let i = 0; i < part.count; i++) {
                t += part.stepMinutes * MINUTE_MS
                timeMs.push(t)
                value.push(part.value)
                flags.push(i % 3 === 0 ? part.flag : part.flag & FLAG.ceiling)
              }
            }
            const all = contextFlags(quantity, {
              timeMs: Float64Array.from(timeMs),
              value: Float64Array.from(value),
              flags: Uint16Array.from(flags),
            })
            const at = pick % timeMs.length
            const near = [...timeMs.keys()].filter(
              (i) => Math.abs(timeMs[i]! - timeMs[at]!) <= contextMs(quantity),
            )
            const part = contextFlags(quantity, {
              timeMs: Float64Array.from(near, (i) => timeMs[i]!),
              value: Float64Array.from(near, (i) => value[i]!),
              flags: Uint16Array.from(near, (i) => flags[i]!),
            })
            expect(part[near.indexOf(at)]).toBe(all[at])
          },
        ),
        { numRuns: 300 },
      )
    })
  }

  test('context reaches no farther than the checks do', () => {
    expect(contextMs('air-temp')).toBeLessThanOrEqual(32 * HOUR_MS)
    expect(contextMs('light')).toBeLessThanOrEqual(18 * HOUR_MS)
    expect(contextMs('irradiance')).toBeLessThanOrEqual(6 * HOUR_MS)
  })
})
