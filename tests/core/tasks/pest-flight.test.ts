import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { warmthFromNormals } from '../../../hub/core/crops/normal-futures.js'
import {
  type AirDay,
  type FlightInput,
  nextSeasonStart,
  pestFlight,
  seasonStart,
} from '../../../hub/core/tasks/pest-flight.js'
import { PESTS } from '../../../hub/core/tasks/pest-table.js'
import { addDays, daysBetween } from '../../../shared/local-time.js'

const [rootFly] = PESTS
if (!rootFly) throw new Error('no pests')
const BASE = rootFly.baseC.value
const NORMALS = {
  minC: [-2, -2, 0, 3, 7, 11, 13, 13, 10, 6, 2, 0],
  maxC: [3, 4, 8, 12, 17, 21, 23, 23, 18, 13, 7, 4],
}

/** Days that are all alike. */
const days = (from: string, to: string, minC: number | null, maxC: number | null): AirDay[] =>
  Array.from({ length: daysBetween(from, to) + 1 }, (_, i) => ({
    date: addDays(from, i),
    minC,
    maxC,
    coverage: minC === null ? 0 : 1,
  }))

const input = (change: Partial<FlightInput>): FlightInput => ({
  pest: rootFly,
  brood: 0,
  countedFrom: '2027-01-01',
  today: '2027-04-11',
  days: days('2027-01-01', '2027-04-11', BASE, BASE + 2),
  futures: { sequences: [], words: 'nothing' },
  normals: null,
  ...change,
})

describe('when pests fly', () => {
  it('counts whole days only, above the base of the pest', () => {
    // a hundred days before today, each with 1 °C·d: a sine between the base and 2 °C above it
    expect(pestFlight(input({})).doneC).toBeCloseTo(100, 6)
    expect(pestFlight(input({ days: days('2027-01-01', '2027-04-11', -5, BASE) })).doneC).toBe(0)
  })

  it('says on which day the sum was reached', () => {
    const warm = days('2027-01-01', '2027-04-11', BASE, BASE + 20)
    // 10 °C·d a day: 166.7 on the 17th day
    expect(pestFlight(input({ days: warm }))).toMatchObject({ reachedOn: '2027-01-17', expectedOn: null })
  })

  it('speaks of days taken from normals only up to then', () => {
    const measured = days('2027-01-01', '2027-01-20', BASE, BASE + 20)
    const since = days('2027-01-21', '2027-04-11', null, null)
    const flight = pestFlight(input({ days: [...measured, ...since], normals: NORMALS }))
    expect(flight).toMatchObject({ reachedOn: '2027-01-17', usualDays: 0 })
    expect(flight.words).not.toContain('normals')
  })

  it('spreads over the ways in which the year may go on', () => {
    // 66.7 °C·d are missing: 7, 14 and 34 days at these paces
    const sequences = [10, 5, 2].map((perDay) => new Float64Array(200).fill(perDay))
    const flight = pestFlight(input({ futures: { sequences, words: 'three past years' } }))
    expect(flight.expectedOn).toBe(addDays('2027-04-11', Math.round((7 + 14 + 34) / 3)))
    expect(flight.earliestOn! < flight.expectedOn! && flight.expectedOn! < flight.latestOn!).toBe(true)
    expect(flight.words).toContain('100 of 167 °C·d so far')
    expect(flight.words).toContain('The days to come are taken from three past years.')
    const one = pestFlight(input({ futures: { sequences: sequences.slice(0, 1), words: '' } }))
    expect(one).toMatchObject({ expectedOn: '2027-04-18', earliestOn: null, latestOn: null })
  })

  it('tells no date when too many days were not measured, and fills them from normals where there are any', () => {
    const futures = { sequences: [new Float64Array(200).fill(5)], words: 'x' }
    const late = [
      ...days('2027-01-01', '2027-03-31', null, null),
      ...days('2027-04-01', '2027-04-11', BASE, BASE + 2),
    ]
    const blind = pestFlight(input({ days: late, futures }))
    expect(blind).toMatchObject({ expectedOn: null, openDays: 90 })
    expect(blind.words).toContain('Type in your region’s usual temperatures')
    const filled = pestFlight(input({ days: late, futures, normals: NORMALS }))
    expect(filled).toMatchObject({ openDays: 0, usualDays: 90 })
    expect(filled.expectedOn).not.toBeNull()
    expect(filled.words).toContain('90 days of them taken from the usual temperatures you typed in')
  })

  it('counts a season that has not begun from its own first day', () => {
    const today = '2026-11-28'
    const futures = (to: string) => {
      const horizon = daysBetween(today, to) + 200
      const limits = { baseC: BASE, upperC: Number.POSITIVE_INFINITY, cutoff: 'none' as const }
      return { sequences: warmthFromNormals(NORMALS, limits, today, horizon), words: 'normals' }
    }
    const next = pestFlight(
      input({ countedFrom: '2027-01-01', today, days: [], futures: futures('2027-01-01') }),
    )
    // what these normals give by hand: 167 °C·d above 6.1 °C from January are there about the turn of April to May
    expect(next.doneC).toBe(0)
    expect(next.expectedOn! > '2027-04-10' && next.expectedOn! < '2027-05-20').toBe(true)
  })

  it('counts on for the later broods, and lets none fly that the year is too cool for', () => {
    const warm = days('2027-01-01', '2027-04-11', BASE, BASE + 20)
    // 10 °C·d a day: 820 on the 82nd day, 1473.3 on the 148th, of which 100 are behind
    expect(pestFlight(input({ brood: 1, days: warm })).reachedOn).toBe('2027-03-23')
    const futures = { sequences: [new Float64Array(300).fill(10)], words: 'x' }
    const third = pestFlight(input({ brood: 2, days: warm, futures }))
    expect(third.expectedOn).toBe(addDays('2027-01-01', 148))
    expect(third.words).toContain('1000 of 1473 °C·d so far')
    const cool = { sequences: [new Float64Array(300).fill(1.5)], words: 'x' }
    expect(pestFlight(input({ brood: 2, days: warm, futures: cool })).expectedOn).toBeNull()
    expect(() => pestFlight(input({ brood: 3 }))).toThrow(RangeError)
  })

  it('comes no later for a warmer year', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.5, max: 20, noNaN: true }),
        fc.double({ min: 0, max: 10, noNaN: true }),
        (c, more) => {
          const on = (perDay: number) =>
            pestFlight(input({ futures: { sequences: [new Float64Array(300).fill(perDay)], words: '' } }))
              .expectedOn!
          return on(c + more) <= on(c)
        },
      ),
    )
  })

  it('begins to count with the year in the north, with July in the south', () => {
    expect(seasonStart('2027-05-03', 55)).toBe('2027-01-01')
    expect(seasonStart('2027-05-03', -42)).toBe('2026-07-01')
    expect(seasonStart('2027-07-01', -42)).toBe('2027-07-01')
    expect(nextSeasonStart('2026-07-01')).toBe('2027-07-01')
  })
})
