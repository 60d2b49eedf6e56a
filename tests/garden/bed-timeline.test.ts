import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { bedSegments, segmentsWithin } from '../../hub/garden/bed-timeline.js'
import type { StoredPlacement } from '../../hub/garden/port.js'

const placed = (node: string, fromMs: number, toMs: number | null): StoredPlacement => ({
  id: `${node}@${fromMs}`,
  node,
  bed: 'south',
  fromMs,
  toMs,
})
const all = (): boolean => true

describe('who speaks for a bed', () => {
  it('is the one node that stands there, with holes where none does', () => {
    expect(bedSegments([placed('b', 50, null), placed('a', 0, 20)], all)).toEqual([
      { node: 'a', fromMs: 0, toMs: 20 },
      { node: 'b', fromMs: 50, toMs: Number.POSITIVE_INFINITY },
    ])
  })

  it('is the placement that started last, until it ends', () => {
    expect(bedSegments([placed('a', 0, 100), placed('b', 30, 60)], all)).toEqual([
      { node: 'a', fromMs: 0, toMs: 30 },
      { node: 'b', fromMs: 30, toMs: 60 },
      { node: 'a', fromMs: 60, toMs: 100 },
    ])
  })

  it('is the older placement where the newer one does not have the quantity', () => {
    expect(bedSegments([placed('a', 0, 100), placed('b', 30, null)], (p) => p.node === 'a')).toEqual([
      { node: 'a', fromMs: 0, toMs: 100 },
    ])
  })

  it('joins placements of one node that touch', () => {
    expect(bedSegments([placed('a', 0, 10), placed('a', 10, 20)], all)).toEqual([
      { node: 'a', fromMs: 0, toMs: 20 },
    ])
  })

  it('at any instant is the last started placement that covers it', () => {
    const times = fc.tuple(fc.nat(40), fc.option(fc.integer({ min: 1, max: 30 })))
    fc.assert(
      fc.property(fc.array(times, { maxLength: 6 }), fc.nat(80), (list, timeMs) => {
        const placements = list.map(([from, length], i) =>
          placed(`n${i}`, from, length === null ? null : from + length),
        )
        const covering = placements
          .filter((p) => p.fromMs <= timeMs && (p.toMs === null || timeMs < p.toMs))
          .sort((a, b) => b.fromMs - a.fromMs || (a.id < b.id ? 1 : -1))
        const speaking = bedSegments(placements, all).filter((s) => s.fromMs <= timeMs && timeMs < s.toMs)
        expect(speaking.map((s) => s.node)).toEqual(covering.slice(0, 1).map((p) => p.node))
      }),
    )
  })

  it('can be cut to a range', () => {
    const segments = bedSegments([placed('a', 0, 10), placed('b', 20, null)], all)
    expect(segmentsWithin(segments, 5, 30)).toEqual([
      { node: 'a', fromMs: 5, toMs: 10 },
      { node: 'b', fromMs: 20, toMs: 30 },
    ])
    expect(segmentsWithin(segments, 10, 20)).toEqual([])
  })
})
