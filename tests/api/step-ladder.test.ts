import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { chooseGrid } from '../../hub/api/step-ladder.js'

const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS
const at = (iso: string): number => Date.parse(iso)

describe('steps of a chart', () => {
  it.each([
    ['an hour of 60 points', HOUR_MS, 60, 60_000],
    ['a day of 300 points', DAY_MS, 300, 5 * 60_000],
    ['a month of 1000 points', 30 * DAY_MS, 1000, HOUR_MS],
    ['a season of 400 points', 180 * DAY_MS, 400, 12 * HOUR_MS],
    ['ten years of 600 points', 3653 * DAY_MS, 600, 7 * DAY_MS],
    ['ten years of 20 points', 3653 * DAY_MS, 20, 27 * 7 * DAY_MS],
  ])('%s', (_name, rangeMs, points, stepMs) => {
    const fromMs = at('2027-03-01T00:00:00Z')
    expect(chooseGrid(fromMs, fromMs + rangeMs, points, 'UTC').stepMs).toBe(stepMs)
  })

  it('cover the whole range, with no more steps than asked for, on round times', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: at('2199-01-01T00:00:00Z') }),
        fc.integer({ min: 1, max: 50 * 366 * DAY_MS }),
        fc.integer({ min: 2, max: 20_000 }),
        fc.constantFrom(
          'UTC',
          'Europe/Copenhagen',
          'Asia/Kathmandu',
          'Pacific/Kiritimati',
          'America/St_Johns',
        ),
        (fromMs, rangeMs, points, timeZone) => {
          const toMs = fromMs + rangeMs
          const grid = chooseGrid(fromMs, toMs, points, timeZone)
          const rows = (grid.endMs - grid.firstMs) / grid.stepMs
          expect(Number.isInteger(rows)).toBe(true)
          expect(rows).toBeLessThanOrEqual(points)
          expect(grid.firstMs).toBeLessThanOrEqual(fromMs)
          expect(grid.firstMs).toBeGreaterThan(fromMs - Math.min(grid.stepMs, DAY_MS) - 1)
          expect(grid.endMs).toBeGreaterThanOrEqual(toMs)
          expect(grid.endMs).toBeLessThan(toMs + grid.stepMs)
          // steps of whole hours lie on the hours of the roll-ups
          expect(Math.abs(grid.firstMs % Math.min(grid.stepMs, HOUR_MS))).toBe(0)
        },
      ),
    )
  })

  it('of a day start at local midnight', () => {
    const grid = chooseGrid(
      at('2027-06-01T10:00:00+02:00'),
      at('2027-06-20T10:00:00+02:00'),
      20,
      'Europe/Copenhagen',
    )
    expect(grid.stepMs).toBe(DAY_MS)
    expect(new Date(grid.firstMs).toISOString()).toBe('2027-05-31T22:00:00.000Z')
  })

  it('refuse a range that is none', () => {
    expect(() => chooseGrid(5, 5, 10, 'UTC')).toThrow(RangeError)
    expect(() => chooseGrid(0, 5, 1, 'UTC')).toThrow(RangeError)
  })
})
