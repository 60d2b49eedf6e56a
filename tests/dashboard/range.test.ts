import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  between,
  follow,
  fromQuery,
  latest,
  MAX_SPAN_S,
  MIN_SPAN_S,
  pan,
  spanOf,
  toQuery,
  zoom,
} from '../../dashboard/src/bed/range.js'

const NOW = 1_800_000_000
const DAY = 86_400

describe('the range of the charts', () => {
  test('moves back by a part of itself and no longer follows the present', () => {
    expect(pan(latest(DAY, NOW), -0.5, NOW)).toEqual({
      fromS: NOW - 1.5 * DAY,
      toS: NOW - 0.5 * DAY,
      isFollowing: false,
    })
  })

  test('stops at the present and follows it from there', () => {
    const past = pan(latest(DAY, NOW), -0.2, NOW)
    expect(pan(past, 5, NOW)).toEqual(latest(DAY, NOW))
  })

  test('keeps the instant under the pointer in its place on zooming', () => {
    const shown = between(NOW - 10 * DAY, NOW - 6 * DAY, NOW)
    const anchorS = NOW - 9 * DAY
    const near = zoom(shown, 0.5, anchorS, NOW)
    expect(spanOf(near)).toBe(2 * DAY)
    expect((anchorS - near.fromS) / spanOf(near)).toBeCloseTo(0.25, 9)
  })

  test('never leaves its limits, whatever is done to it', () => {
    const step = fc.oneof(
      fc.record({ kind: fc.constant('pan' as const), by: fc.double({ min: -3, max: 3, noNaN: true }) }),
      fc.record({ kind: fc.constant('zoom' as const), by: fc.double({ min: 0.01, max: 100, noNaN: true }) }),
    )
    fc.assert(
      fc.property(fc.array(step, { maxLength: 40 }), (steps) => {
        let range = latest(DAY, NOW)
        for (const { kind, by } of steps)
          range = kind === 'pan' ? pan(range, by, NOW) : zoom(range, by, (range.fromS + range.toS) / 2, NOW)
        expect(range.toS).toBeLessThanOrEqual(NOW)
        expect(spanOf(range)).toBeGreaterThanOrEqual(MIN_SPAN_S - 1e-3)
        expect(spanOf(range)).toBeLessThanOrEqual(MAX_SPAN_S + 1e-3)
      }),
    )
  })

  test('slides along only while it follows', () => {
    expect(follow(latest(DAY, NOW), NOW + 60)).toEqual(latest(DAY, NOW + 60))
    const past = between(NOW - 3 * DAY, NOW - 2 * DAY, NOW)
    expect(follow(past, NOW + 60)).toBe(past)
  })

  test('comes back from the address bar as it went in', () => {
    for (const range of [latest(7 * DAY, NOW), latest(5000, NOW), between(NOW - 3 * DAY, NOW - DAY, NOW)])
      expect(fromQuery(new URLSearchParams(toQuery(range)), NOW)).toEqual(range)
  })

  test('takes no nonsense from the address bar', () => {
    for (const query of ['', 'span=soon', 'from=2&to=1', 'from=x&to=3', 'span=-5s'])
      expect(fromQuery(new URLSearchParams(query), NOW), query).toBeNull()
  })
})
