import { describe, expect, it } from 'vitest'
import { learningWindow } from '../../hub/garden/learning-window.js'
import { lightStretches } from '../../hub/garden/light-stretches.js'
import { localDate, startOfDayMs } from '../../shared/local-time.js'

const ZONE = 'Europe/Copenhagen'
const at = (iso: string): number => Date.parse(iso)
const LONG_AGO = at('2026-01-01T00:00:00Z')
const window = (month: string, now: string, newestPlacedMs = LONG_AGO) =>
  learningWindow(month, ZONE, newestPlacedMs, at(now))

describe('the window that a month is learned from', () => {
  it('is the month before, the month and a week, once that is over', () => {
    const { fromMs, cutMs, monthStartMs, monthEndMs } = window('2027-03', '2027-09-01T12:00:00Z')
    expect([fromMs, monthStartMs, monthEndMs, cutMs].map((ms) => localDate(ms, ZONE))).toEqual([
      '2027-02-01',
      '2027-03-01',
      '2027-04-01',
      '2027-04-08',
    ])
    expect(cutMs).toBe(startOfDayMs('2027-04-08', ZONE))
    expect(localDate(window('2027-01', '2027-09-01T12:00:00Z').fromMs, ZONE)).toBe('2026-12-01')
    expect(localDate(window('2026-12', '2027-09-01T12:00:00Z').monthEndMs, ZONE)).toBe('2027-01-01')
  })

  it('ends, while it lasts, at the last settled Monday', () => {
    // a Sunday, a Monday that is not settled, and the Monday after it is
    for (const [now, cut] of [
      ['2027-06-13T20:00:00Z', '2027-06-07'],
      ['2027-06-14T10:00:00Z', '2027-06-07'],
      ['2027-06-14T21:00:00Z', '2027-06-14'],
      ['2027-06-20T12:00:00Z', '2027-06-14'],
    ] as const) {
      expect([now, localDate(window('2027-06', now).cutMs, ZONE)]).toEqual([now, cut])
    }
  })

  it('moves on day by day in the first four weeks of the newest placement', () => {
    const placedMs = at('2027-06-01T10:00:00Z')
    expect(localDate(window('2027-06', '2027-06-12T20:00:00Z', placedMs).cutMs, ZONE)).toBe('2027-06-12')
    expect(localDate(window('2027-07', '2027-07-08T20:00:00Z', placedMs).cutMs, ZONE)).toBe('2027-07-05')
  })

  it('of months to come holds what has been until now', () => {
    const { fromMs, cutMs } = window('2027-12', '2027-06-20T12:00:00Z')
    expect(cutMs).toBeLessThan(fromMs)
  })
})

describe('stretches of light', () => {
  const placements = [
    { id: 'a', node: 'n1', bed: 'south', fromMs: 0, toMs: 100 },
    { id: 'b', node: 'n1', bed: 'south', fromMs: 100, toMs: 200 },
    { id: 'c', node: 'n2', bed: 'south', fromMs: 150, toMs: null },
  ]

  it('belong to one placement each, though the same node stands there again', () => {
    const light = [
      { node: 'n1', fromMs: 0, toMs: 150 },
      { node: 'n2', fromMs: 150, toMs: Number.POSITIVE_INFINITY },
    ]
    expect(lightStretches(light, [], placements)).toEqual([
      { placement: 'a', node: 'n1', fromMs: 0, toMs: 100 },
      { placement: 'b', node: 'n1', fromMs: 100, toMs: 150 },
      { placement: 'c', node: 'n2', fromMs: 150, toMs: Number.POSITIVE_INFINITY },
    ])
  })

  it('come from irradiance where nobody speaks for light', () => {
    const irradiance = [{ node: 'n2', fromMs: 150, toMs: Number.POSITIVE_INFINITY }]
    expect(lightStretches([{ node: 'n1', fromMs: 0, toMs: 100 }], irradiance, placements)).toEqual([
      { placement: 'a', node: 'n1', fromMs: 0, toMs: 100 },
      { placement: 'c', node: 'n2', fromMs: 150, toMs: Number.POSITIVE_INFINITY },
    ])
  })
})
