import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type EdgeRule, edgeRoomM, type Ground, type Spot } from '../../../hub/core/space/ground.js'
import {
  fullestLayout,
  layOut,
  type Pattern,
  patternsOf,
  widestSpacingM,
} from '../../../hub/core/space/layout.js'

const INCH = 0.0254
const FOUR_BY_FOUR: Ground = { shape: 'rectangle', lengthM: 48 * INCH, widthM: 48 * INCH }
const POT: Ground = { shape: 'round', diameterM: 16 * INCH }
const count = (ground: Ground, spacingM: number, pattern: Pattern, edge: EdgeRule = 'own-square'): number =>
  layOut(ground, spacingM, pattern, edge).spots.length

const EDGES: EdgeRule[] = ['own-square', 'to-the-edge']
const lengths = fc.double({ min: 0.2, max: 4, noNaN: true })
const spacings = fc.double({ min: 0.1, max: 0.9, noNaN: true })
const grounds: fc.Arbitrary<Ground> = fc.oneof(
  fc.record({ shape: fc.constant('rectangle' as const), lengthM: lengths, widthM: lengths }),
  fc.record({
    shape: fc.constant('round' as const),
    diameterM: fc.double({ min: 0.2, max: 2, noNaN: true }),
  }),
)
const planted = fc
  .record({ ground: grounds, spacingM: spacings, edge: fc.constantFrom(...EDGES) })
  .chain((one) => fc.constantFrom(...patternsOf(one.ground)).map((pattern) => ({ ...one, pattern })))

function nearestPairM(spots: readonly Spot[]): number {
  let nearest = Number.POSITIVE_INFINITY
  for (const [i, a] of spots.entries()) {
    for (const b of spots.slice(i + 1)) nearest = Math.min(nearest, Math.hypot(a.xM - b.xM, a.yM - b.yM))
  }
  return nearest
}

function nearestEdgeM(ground: Ground, { xM, yM }: Spot): number {
  if (ground.shape === 'rectangle') return Math.min(xM, yM, ground.lengthM - xM, ground.widthM - yM)
  const radiusM = ground.diameterM / 2
  return radiusM - Math.hypot(xM - radiusM, yM - radiusM)
}

describe('counting plants', () => {
  it('puts nine heads at sixteen inches into a bed of four by four feet', () => {
    expect(count(FOUR_BY_FOUR, 16 * INCH, 'square')).toBe(9)
  })

  it('puts one plant at sixteen inches into a container sixteen inches wide, in its middle', () => {
    const { spots } = layOut(POT, 16 * INCH, 'rings', 'own-square')
    expect(spots).toHaveLength(1)
    expect(spots[0]!.xM).toBeCloseTo(8 * INCH, 9)
    expect(spots[0]!.yM).toBeCloseTo(8 * INCH, 9)
  })

  it('draws a square layout to scale', () => {
    const { spots } = layOut(FOUR_BY_FOUR, 16 * INCH, 'square', 'own-square')
    expect(spots[0]!.xM).toBeCloseTo(8 * INCH, 9)
    expect(spots[1]!.xM).toBeCloseTo(24 * INCH, 9)
    expect(spots.at(-1)!.yM).toBeCloseTo(40 * INCH, 9)
  })

  it('counts a row more along each side where plants may stand to the edge', () => {
    // 48 in less twice a hand's width (10 cm) leaves 40.1 in: two steps of 16 in, three plants; at 18 in three too
    expect(count(FOUR_BY_FOUR, 18 * INCH, 'square')).toBe(4)
    expect(count(FOUR_BY_FOUR, 18 * INCH, 'square', 'to-the-edge')).toBe(9)
  })

  it('finds that shifted rows hold more where the square wastes a strip', () => {
    expect(count(FOUR_BY_FOUR, 18 * INCH, 'offset')).toBeGreaterThanOrEqual(5)
  })

  it('keeps the square where it fits just so', () => {
    expect(fullestLayout(FOUR_BY_FOUR, 16 * INCH, 'own-square').pattern).toBe('square')
  })

  it('holds nothing where the spacing is wider than the ground', () => {
    expect(count(FOUR_BY_FOUR, 1.3, 'square')).toBe(0)
    expect(count(POT, 0.41, 'rings')).toBe(0)
  })

  it('approaches the even triangle’s gain of 15 % on a large ground', () => {
    const field: Ground = { shape: 'rectangle', lengthM: 30, widthM: 30 }
    const gain = count(field, 0.3, 'offset') / count(field, 0.3, 'square')
    expect(gain).toBeGreaterThan(1.13)
    expect(gain).toBeLessThan(2 / Math.sqrt(3))
  })

  it('refuses lengths that are none, and rings in a rectangle', () => {
    expect(() => layOut(FOUR_BY_FOUR, 0, 'square', 'own-square')).toThrow(RangeError)
    expect(() => layOut({ shape: 'round', diameterM: -1 }, 0.3, 'rings', 'own-square')).toThrow(RangeError)
    expect(() => layOut(FOUR_BY_FOUR, 0.3, 'rings', 'own-square')).toThrow(RangeError)
    expect(() =>
      layOut({ shape: 'rectangle', lengthM: 200, widthM: 200 }, 0.06, 'square', 'own-square'),
    ).toThrow(/smaller piece/)
  })
})

describe('every layout', () => {
  it('keeps plants a spacing apart and off the edge', () => {
    fc.assert(
      fc.property(planted, ({ ground, spacingM, pattern, edge }) => {
        const { spots } = layOut(ground, spacingM, pattern, edge)
        expect(nearestPairM(spots)).toBeGreaterThanOrEqual(spacingM - 1e-5)
        for (const spot of spots) {
          expect(nearestEdgeM(ground, spot)).toBeGreaterThanOrEqual(edgeRoomM(edge, spacingM) - 1e-5)
        }
      }),
    )
  })

  it('holds no fewer plants closer together, nor when they may stand to the edge', () => {
    fc.assert(
      fc.property(planted, fc.double({ min: 0.5, max: 1, noNaN: true }), (one, part) => {
        const { ground, spacingM, pattern, edge } = one
        // rings and cut rows are good layouts, not the best there is: the fullest of them is what is promised
        if (ground.shape === 'rectangle') {
          expect(count(ground, spacingM * part, pattern, edge)).toBeGreaterThanOrEqual(
            count(ground, spacingM, pattern, edge),
          )
        }
        expect(count(ground, spacingM, pattern, 'to-the-edge')).toBeGreaterThanOrEqual(
          count(ground, spacingM, pattern, 'own-square'),
        )
      }),
    )
  })

  it('by square gives each plant its own square: never more than the area holds', () => {
    fc.assert(
      fc.property(lengths, lengths, spacings, (lengthM, widthM, spacingM) => {
        const ground: Ground = { shape: 'rectangle', lengthM, widthM }
        expect(count(ground, spacingM, 'square')).toBeLessThanOrEqual(
          (lengthM * widthM) / spacingM ** 2 + 1e-3,
        )
      }),
    )
  })

  it('is the same bed when it is turned', () => {
    fc.assert(
      fc.property(
        lengths,
        lengths,
        spacings,
        fc.constantFrom(...EDGES),
        (lengthM, widthM, spacingM, edge) => {
          for (const pattern of ['square', 'offset'] as const) {
            expect(count({ shape: 'rectangle', lengthM, widthM }, spacingM, pattern, edge)).toBe(
              count({ shape: 'rectangle', lengthM: widthM, widthM: lengthM }, spacingM, pattern, edge),
            )
          }
        },
      ),
    )
  })
})

describe('the widest spacing for a number of plants', () => {
  it('is the square’s own where the bed fits just so', () => {
    expect(widestSpacingM(FOUR_BY_FOUR, 9, 'square', 'own-square')).toBeCloseTo(16 * INCH, 3)
    expect(widestSpacingM(FOUR_BY_FOUR, 4, 'square', 'own-square')).toBeCloseTo(24 * INCH, 3)
  })

  it('still holds them, and a little wider does not', () => {
    fc.assert(
      fc.property(lengths, lengths, fc.integer({ min: 2, max: 30 }), (lengthM, widthM, plants) => {
        const ground: Ground = { shape: 'rectangle', lengthM, widthM }
        const widest = widestSpacingM(ground, plants, 'square', 'own-square')
        expect(widest).not.toBeNull()
        expect(count(ground, widest!, 'square')).toBeGreaterThanOrEqual(plants)
        expect(count(ground, widest! + 0.002, 'square')).toBeLessThan(plants)
      }),
    )
  })
})
