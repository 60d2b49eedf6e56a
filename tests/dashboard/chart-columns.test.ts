import { describe, expect, test } from 'vitest'
import {
  alignLines,
  isolated,
  lineOf,
  markedReadings,
  nearest,
  withReading,
} from '../../dashboard/src/bed/chart-columns.js'
import { extremes, valueRange } from '../../dashboard/src/bed/value-range.js'
import type { Series } from '../../shared/api/measurements.js'
import { FLAG } from '../../shared/quality-flags.js'

const same = (value: number): number => value

const raw = (quantity: string, rows: readonly (readonly [number, number, number?])[]): Series => ({
  form: 'raw',
  quantity,
  unit: '°C',
  time: rows.map(([t]) => t),
  value: rows.map(([, v]) => v),
  flags: rows.map(([, , f]) => f ?? 0),
  spacingS: 60,
})

describe('the columns of a chart', () => {
  test('break a raw line where readings are missing', () => {
    const line = lineOf(
      raw('air-temp', [
        [0, 10],
        [60, 11],
        [120, 12],
        [900, 13],
        [960, 14],
      ]),
      same,
    )
    expect(line.time).toEqual([0, 60, 120, 510, 900, 960])
    expect(line.mean).toEqual([10, 11, 12, null, 13, 14])
  })

  test('draw across one missed report', () => {
    expect(
      lineOf(
        raw('air-temp', [
          [0, 10],
          [60, 11],
          [180, 12],
          [240, 12],
        ]),
        same,
      ).mean,
    ).toEqual([10, 11, 12, 12])
  })

  test('do not take a node’s slower reports by night for gaps', () => {
    const night: [number, number][] = [
      [0, 5],
      [60, 4],
      [120, 3],
      [180, 0],
      [1080, 0],
      [1980, 0],
      [2880, 0],
    ]
    expect(lineOf(raw('light', night), same).mean).not.toContain(null)
  })

  test('break the line over a hole longer than a reading may stand for, though the next is as long', () => {
    const silent: [number, number][] = [
      [0, 5],
      [60, 4],
      [120, 4],
      [10_000, 3],
      [20_000, 3],
      [20_060, 3],
    ]
    expect(lineOf(raw('light', silent), same).mean.filter((v) => v === null)).toHaveLength(2)
  })

  test('leave a doubtful reading out of the line and mark it', () => {
    const series = raw('soil-temp', [
      [0, 10],
      [60, -127, FLAG.sentinel],
      [120, 11],
    ])
    expect(lineOf(series, same).mean).toEqual([10, 11])
    expect(markedReadings(series, same)).toEqual([{ timeS: 60, value: -127, flags: FLAG.sentinel }])
  })

  test('keep a reading at the sensor’s ceiling in the line, and mark it too', () => {
    const series = raw('light', [
      [0, 50_000],
      [60, 54_612, FLAG.ceiling],
    ])
    expect(lineOf(series, same).mean).toEqual([50_000, 54_612])
    expect(markedReadings(series, same)).toHaveLength(1)
  })

  test('draw steps at their middle, and a gap where several are empty', () => {
    const steps: Series = {
      form: 'steps',
      quantity: 'air-temp',
      unit: '°C',
      stepS: 600,
      time: [0, 600, 1200, 1800, 2400, 3000],
      min: [1, 2, null, null, null, 3],
      mean: [2, 3, null, null, null, 4],
      max: [3, 4, null, null, null, 5],
      coverage: [1, 1, 0, 0, 0, 1],
    }
    expect(lineOf(steps, (v) => v * 10)).toEqual({
      time: [300, 900, 2100, 3300],
      min: [10, 20, null, 30],
      mean: [20, 30, null, 40],
      max: [30, 40, null, 50],
    })
  })

  test('do not break a line of steps where a node reports more seldom than they are long', () => {
    const every = 3
    const steps: Series = {
      form: 'steps',
      quantity: 'light',
      unit: 'lx',
      stepS: 300,
      time: Array.from({ length: 12 }, (_, i) => i * 300),
      min: Array.from({ length: 12 }, (_, i) => (i % every === 0 ? 0 : null)),
      mean: Array.from({ length: 12 }, (_, i) => (i % every === 0 ? 0 : null)),
      max: Array.from({ length: 12 }, (_, i) => (i % every === 0 ? 0 : null)),
      coverage: Array.from({ length: 12 }, () => 1),
    }
    expect(lineOf(steps, same).mean).toEqual([0, 0, 0, 0])
  })

  test('tell a gap of one line from a time at which only the other has a reading', () => {
    const a = { time: [0, 2, 4], min: [null, null, null], mean: [1, null, 3], max: [null, null, null] }
    const b = { time: [1, 2], min: [null, null], mean: [7, 8], max: [null, null] }
    const [time, , meanA, , , meanB] = alignLines([a, b])
    expect(time).toEqual([0, 1, 2, 4])
    expect(meanA).toEqual([1, undefined, null, 3])
    expect(meanB).toEqual([undefined, 7, 8, undefined])
  })

  test('give a lone reading between gaps a dot', () => {
    expect(isolated([1, null, 5, undefined, null, 3, 4])).toEqual([0, 2])
    expect(isolated([1, undefined, 2, null])).toEqual([])
  })

  test('take a live reading at their end, and none twice or out of turn', () => {
    const series = raw('air-temp', [
      [0, 10],
      [60, 11],
    ])
    expect(withReading(series, 120, 12, 0)).toMatchObject({ time: [0, 60, 120], value: [10, 11, 12] })
    expect(withReading(series, 60, 99, 0)).toBe(series)
    expect(withReading(series, 30, 99, 0)).toBe(series)
  })

  test('find the sample under the cursor, and none in a gap', () => {
    const time = [0, 60, 120, 900]
    expect(nearest(time, 85, 75)).toBe(1)
    expect(nearest(time, 500, 75)).toBeNull()
    expect(nearest([], 5, 75)).toBeNull()
  })
})

describe('the vertical extent of a chart', () => {
  test('holds all good figures and does not magnify noise', () => {
    const [low, high] = valueRange('air-temp', 15.2, 15.4, same)
    expect(low).toBeLessThan(15.2)
    expect(high).toBeGreaterThan(15.4)
    expect(high - low).toBeGreaterThanOrEqual(7)
  })

  test('starts light at zero', () => {
    expect(valueRange('light', 2_000, 80_000, same)[0]).toBe(0)
  })

  test('shows the usual range where there is nothing', () => {
    expect(valueRange('humidity', null, null, same)).toEqual([0, 100])
  })

  test('follows the unit shown', () => {
    expect(valueRange('air-temp', null, null, (c) => c * 1.8 + 32)).toEqual([32, 77])
  })

  test('looks only at what is in view', () => {
    expect(
      extremes(
        [
          [1, 5, null, 9],
          [undefined, 4, 3, 100],
        ],
        1,
        2,
      ),
    ).toEqual([3, 5])
    expect(extremes([[null, undefined]], 0, 1)).toEqual([null, null])
  })
})
