import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  hoursByState,
  ribbonBands,
  type Segment,
  sunReachedAtMs,
  tickEveryHours,
} from '../../dashboard/src/sun/ribbon-bands.js'
import { stillHidden } from '../../dashboard/src/sun/still-hidden.js'

const H = 3_600_000

const segments = (...parts: readonly (readonly [number, number, Segment['state']])[]): Segment[] =>
  parts.map(([from, to, state]) => ({ fromMs: from * H, toMs: to * H, state }))

describe('the ribbon', () => {
  test('draws each state over the pixels of its time', () => {
    const bands = ribbonBands(segments([6, 8, 'shade'], [8, 12, 'sun']), 6 * H, 16 * H, 100)
    expect(bands).toEqual([
      { x0: 0, x1: 20, state: 'shade' },
      { x0: 20, x1: 60, state: 'sun' },
    ])
  })

  test('leaves open what is still to come, and a hole between readings', () => {
    const bands = ribbonBands(segments([6, 7, 'sun'], [9, 10, 'cloud']), 6 * H, 12 * H, 60)
    expect(bands).toEqual([
      { x0: 0, x1: 10, state: 'sun' },
      { x0: 30, x1: 40, state: 'cloud' },
    ])
  })

  test('gives a pixel of broken cloud to the state that fills most of it', () => {
    const broken = segments([0, 0.6, 'cloud'], [0.6, 1, 'sun'], [1, 1.7, 'sun'], [1.7, 2, 'cloud'])
    expect(ribbonBands(broken, 0, 2 * H, 2)).toEqual([
      { x0: 0, x1: 1, state: 'cloud' },
      { x0: 1, x1: 2, state: 'sun' },
    ])
  })

  test('has nothing to draw on no width or in no time', () => {
    expect(ribbonBands(segments([6, 8, 'sun']), 6 * H, 6 * H, 100)).toEqual([])
    expect(ribbonBands(segments([6, 8, 'sun']), 6 * H, 8 * H, 0)).toEqual([])
  })

  test('neither overlaps nor leaves seams over a day without holes', () => {
    const states = ['sun', 'cloud', 'shade', 'night', 'unknown'] as const
    const day = fc.array(
      fc.record({ minutes: fc.integer({ min: 1, max: 240 }), state: fc.constantFrom(...states) }),
      {
        minLength: 1,
        maxLength: 60,
      },
    )
    fc.assert(
      fc.property(day, fc.integer({ min: 1, max: 1500 }), (parts, width) => {
        let atMs = 0
        const whole = parts.map(({ minutes, state }) => {
          const fromMs = atMs
          atMs += minutes * 60_000
          return { fromMs, toMs: atMs, state }
        })
        const bands = ribbonBands(whole, 0, atMs, width)
        let x = 0
        for (const band of bands) {
          expect(band.x0).toBe(x)
          expect(band.x1).toBeGreaterThan(band.x0)
          x = band.x1
        }
        expect(x).toBe(width)
      }),
    )
  })

  test('adds up the hours of each state', () => {
    expect(hoursByState(segments([6, 8, 'shade'], [8, 12, 'sun'], [12, 12.5, 'sun']))).toEqual({
      sun: 4.5,
      cloud: 0,
      shade: 2,
      night: 0,
      unknown: 0,
    })
  })

  test('knows when so many hours of sun were complete', () => {
    const day = segments([6, 9, 'sun'], [9, 10, 'cloud'], [10, 15, 'sun'])
    expect(sunReachedAtMs(day, 6)).toBe(13 * H)
    expect(sunReachedAtMs(day, 8)).toBe(15 * H)
    expect(sunReachedAtMs(day, 8.5)).toBeNull()
  })

  test('thins its hour marks on a narrow screen', () => {
    expect(tickEveryHours(15, 900)).toBe(1)
    expect(tickEveryHours(15, 330)).toBe(2)
    expect(tickEveryHours(24, 150)).toBe(6)
  })
})

describe('what the skyline will still hide', () => {
  const daylight = { fromMs: 100, toMs: 900 }

  test('is what lies ahead of now and within the daylight', () => {
    const lost = [
      { fromMs: 50, toMs: 200 },
      { fromMs: 400, toMs: 600 },
      { fromMs: 800, toMs: 950 },
    ]
    expect(stillHidden(lost, daylight, 500)).toEqual([
      { fromMs: 500, toMs: 600 },
      { fromMs: 800, toMs: 900 },
    ])
  })

  test('is nothing once the sun has set', () => {
    expect(stillHidden([{ fromMs: 800, toMs: 950 }], daylight, 920)).toEqual([])
  })
})
