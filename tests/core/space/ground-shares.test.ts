import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { findCrop } from '../../../hub/core/crops/library.js'
import { holds, widestForM } from '../../../hub/core/space/bed-capacity.js'
import type { Ground } from '../../../hub/core/space/ground.js'
import {
  mostCrowded,
  overlap,
  partOf,
  roomBeside,
  type Share,
  stayOf,
} from '../../../hub/core/space/ground-shares.js'
import { addDays } from '../../../shared/local-time.js'

const INCH = 0.0254
const FOUR_BY_FOUR: Ground = { shape: 'rectangle', lengthM: 48 * INCH, widthM: 48 * INCH }
const cabbage = findCrop('cabbage-early')!
const TODAY = '2027-05-10'

describe('what a bed holds', () => {
  it.each([
    [16 * INCH, 9],
    // four in squares, five with one in the middle, six in shifted rows
    [18 * INCH, 6],
    [48 * INCH, 1],
    // wider than the bed: one plant can stand anywhere
    [60 * INCH, 1],
  ])('at %f m is %i', (spacingM, plants) => {
    expect(holds(FOUR_BY_FOUR, spacingM)).toBe(plants)
  })

  it('is one row in a bed narrower than the spacing', () => {
    expect(holds({ shape: 'rectangle', lengthM: 2, widthM: 0.4 }, 0.5)).toBe(4)
  })

  it('tells the widest spacing so that it fits', () => {
    const spacings = fc.record({
      lengthM: fc.double({ min: 0.3, max: 5, noNaN: true }),
      widthM: fc.double({ min: 0.3, max: 5, noNaN: true }),
      plants: fc.integer({ min: 2, max: 60 }),
    })
    fc.assert(
      fc.property(spacings, ({ lengthM, widthM, plants }) => {
        const ground: Ground = { shape: 'rectangle', lengthM, widthM }
        const widest = widestForM(ground, plants)
        if (widest !== null && widest > 0) expect(holds(ground, widest)).toBeGreaterThanOrEqual(plants)
      }),
      { numRuns: 60 },
    )
  })
})

describe('the days on which a planting takes ground', () => {
  const stay = (parts: object) =>
    stayOf({ sownOn: null, plantedOutOn: null, finishedOn: null, ...parts }, cabbage, TODAY)

  it('begin with planting out, not with the tray', () => {
    expect(stay({ sownOn: '2027-03-01', plantedOutOn: '2027-05-01' })).toMatchObject({ from: '2027-05-01' })
    expect(stay({ sownOn: '2027-03-01' })).toMatchObject({ from: '2027-03-01' })
    expect(stay({})).toBeNull()
  })

  it('end on the day it is finished', () => {
    expect(stay({ plantedOutOn: '2027-05-01', finishedOn: '2027-06-20' })).toEqual({
      from: '2027-05-01',
      until: '2027-06-20',
      isGuessed: false,
    })
    expect(stay({ plantedOutOn: '2027-05-01', finishedOn: '2027-05-01' })?.until).toBe('2027-05-02')
  })

  it('else after its usual days, and not before tomorrow while it stands', () => {
    const expected = stay({ plantedOutOn: '2027-05-01' })
    expect(expected?.isGuessed).toBe(true)
    // a packet's 65 days to ready, and a while to cut
    expect(expected!.until > addDays('2027-05-01', 65)).toBe(true)
    expect(expected!.until < addDays('2027-05-01', 90)).toBe(true)
    expect(stay({ plantedOutOn: '2026-05-01' })?.until).toBe('2027-05-11')
  })
})

const GROUND: Ground = { shape: 'rectangle', lengthM: 2.4, widthM: 1.2 }
const planting = fc
  .record({
    plants: fc.integer({ min: 1, max: 20 }),
    spacingM: fc.double({ min: 0.2, max: 0.8, noNaN: true }),
    day: fc.integer({ min: 0, max: 60 }),
    days: fc.integer({ min: 1, max: 40 }),
  })
  .map(({ plants, spacingM, day, days }) => ({
    plants,
    spacingM,
    from: addDays('2027-03-01', day),
    until: addDays('2027-03-01', day + days),
    isGuessed: false,
    part: partOf(GROUND, plants, spacingM),
  }))
type Made = Share & { readonly plants: number; readonly spacingM: number }

const hasRoom = (one: Made, others: readonly Made[]): boolean =>
  one.plants <= roomBeside(GROUND, one.spacingM, mostCrowded(one, others)?.part ?? 0)

/** Plants one after another what has room. */
function plantAll(all: readonly Made[]): Made[] {
  const planted: Made[] = []
  for (const one of all) if (hasRoom(one, planted)) planted.push(one)
  return planted
}

describe('plantings that share a bed', () => {
  it('never take more than the whole of it on any day', () => {
    fc.assert(
      fc.property(fc.array(planting, { maxLength: 8 }), (all) => {
        const planted = plantAll(all)
        for (let day = 0; day <= 100; day++) {
          const on = addDays('2027-03-01', day)
          const taken = planted
            .filter((one) => one.from <= on && on < one.until)
            .reduce((sum, one) => sum + one.part, 0)
          expect(taken).toBeLessThanOrEqual(1 + 1e-6)
        }
      }),
    )
  })

  it('crowd each other or neither: which was there first does not matter', () => {
    fc.assert(
      fc.property(planting, planting, (a, b) => {
        fc.pre(hasRoom(a, []) && hasRoom(b, []))
        expect(hasRoom(a, [b])).toBe(hasRoom(b, [a]))
      }),
    )
  })

  it('find room in any order where they find it in one', () => {
    fc.assert(
      fc.property(
        fc
          .array(planting, { maxLength: 5 })
          .chain((all) => fc.tuple(fc.constant(all), fc.shuffledSubarray(all, { minLength: all.length }))),
        ([all, shuffled]) => {
          fc.pre(plantAll(all).length === all.length)
          expect(plantAll(shuffled)).toHaveLength(all.length)
        },
      ),
    )
  })

  it('with one spacing are counted plant by plant', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 18 }),
        fc.double({ min: 0.25, max: 0.5, noNaN: true }),
        (first, spacingM) => {
          const most = holds(GROUND, spacingM)
          fc.pre(first <= most)
          expect(roomBeside(GROUND, spacingM, partOf(GROUND, first, spacingM))).toBe(most - first)
        },
      ),
    )
  })

  it('do not meet where one ends on the day the other begins', () => {
    const spring = { from: '2027-03-01', until: '2027-06-20', isGuessed: false }
    expect(overlap(spring, { ...spring, from: '2027-06-20', until: '2027-09-01' })).toBe(false)
    expect(overlap(spring, { ...spring, from: '2027-06-19', until: '2027-09-01' })).toBe(true)
  })
})
