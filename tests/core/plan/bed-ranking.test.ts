import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { CROPS, findCrop } from '../../../hub/core/crops/library.js'
import { type BedOffer, rankBeds } from '../../../hub/core/plan/bed-ranking.js'
import { familyOf } from '../../../hub/core/plan/plant-family.js'

const cabbage = findCrop('cabbage-early')!
const PLANTING = '2027-04-01'
const offer = (bed: string, more: Partial<BedOffer> = {}): BedOffer => ({
  bed,
  name: bed,
  expectedSunHours: 5,
  possibleSunHours: 8,
  warmerByC: null,
  former: [],
  ...more,
})
const order = (offers: BedOffer[], meanC: number | null = 17): string[] =>
  rankBeds(cabbage, meanC, PLANTING, offers).map(({ bed }) => bed)

describe('ranking beds', () => {
  it('puts the sunnier bed first', () => {
    expect(order([offer('fence', { possibleSunHours: 4, expectedSunHours: 2 }), offer('open')])).toEqual([
      'open',
      'fence',
    ])
  })

  it('tells beds in full sun apart by the sun to expect', () => {
    expect(order([offer('a', { expectedSunHours: 4 }), offer('b', { expectedSunHours: 6 })])).toEqual([
      'b',
      'a',
    ])
  })

  it('says when a bed is short of full sun', () => {
    const [shady] = rankBeds(cabbage, 17, PLANTING, [offer('shady', { possibleSunHours: 4.5 })])
    expect(shady!.reasons.join(' ')).toContain('4.5 h of sun on a clear day')
    expect(shady!.reasons.join(' ')).toContain('short of 6')
  })

  it('likes a warm bed in a cool spring and a cool bed in a warm one', () => {
    const beds = [offer('warm', { warmerByC: 2 }), offer('cool', { warmerByC: -2 })]
    expect(order(beds, 12)).toEqual(['warm', 'cool'])
    expect(order(beds, 21)).toEqual(['cool', 'warm'])
  })

  it('points out the same family in the last years, and whose', () => {
    const beds = rankBeds(cabbage, 17, PLANTING, [
      offer('kale', { former: [{ crop: findCrop('kale')!, until: '2026-10-01', isStanding: false }] }),
      offer('peas', { former: [{ crop: findCrop('pea')!, until: '2026-08-01', isStanding: false }] }),
      offer('radish', { former: [{ crop: findCrop('radish')!, until: '2021-06-01', isStanding: false }] }),
    ])
    expect(beds.map(({ bed }) => bed)).toEqual(['peas', 'radish', 'kale'])
    expect(beds[2]!.sameFamily).toEqual({ cropName: 'Kale', until: '2026-10-01' })
    expect(beds[2]!.reasons[0]).toMatch(/cabbage family grew here until 2026-10-01/)
    expect(beds[0]!.sameFamily).toBeNull()
    expect(beds[1]!.sameFamily).toBeNull()
    const [standing] = rankBeds(cabbage, 17, PLANTING, [
      offer('kale', { former: [{ crop: findCrop('kale')!, until: PLANTING, isStanding: true }] }),
    ])
    expect(standing!.reasons[0]).toMatch(/^The cabbage family still stands here \(kale\)/)
  })

  it('minds the family less as years pass', () => {
    fc.assert(
      fc.property(fc.integer({ min: 2023, max: 2025 }), (year) => {
        const grown = (until: string): BedOffer =>
          offer(until, { former: [{ crop: cabbage, until, isStanding: false }] })
        expect(order([grown(`${year + 1}-10-01`), grown(`${year}-10-01`)])[0]).toBe(`${year}-10-01`)
      }),
    )
  })

  it('works with nothing known', () => {
    const [bed] = rankBeds(cabbage, null, PLANTING, [
      offer('new', { expectedSunHours: null, possibleSunHours: null }),
    ])
    expect(bed!.reasons).toEqual(['Its sun is not known yet.'])
  })
})

describe('families', () => {
  it('are known of every crop in the library', () => {
    for (const crop of CROPS.values()) expect(familyOf(crop), crop.id).not.toBeNull()
    expect(familyOf({ botanical: 'Beta vulgaris' })).toBeNull()
  })
})
