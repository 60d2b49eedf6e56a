/** What the journal says came of a planting. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type HarvestEntry, harvestOf } from '../../../hub/core/review/harvest.js'

const entry = (kind: HarvestEntry['kind'], on: string, more: Partial<HarvestEntry> = {}): HarvestEntry => ({
  kind,
  on,
  plants: null,
  weightKg: null,
  diameterMm: null,
  firmness: null,
  ...more,
})

describe('the harvest of a planting', () => {
  it('adds up what was cut, and what was lost', () => {
    const harvest = harvestOf([
      entry('cut', '2027-07-09', { plants: 3, weightKg: 2.4, diameterMm: 160 }),
      entry('cut', '2027-07-02', { plants: 1, weightKg: 1.1, diameterMm: 180 }),
      entry('cut', '2027-07-20', { weightKg: 0.5 }),
      entry('split', '2027-07-18', { plants: 2 }),
      entry('lost', '2027-05-18'),
      entry('firmness', '2027-06-28', { firmness: 'giving' }),
      entry('fed', '2027-06-01', { plants: 9 }),
    ])
    expect(harvest).toEqual({
      cuts: 3,
      firstCutOn: '2027-07-02',
      lastCutOn: '2027-07-20',
      heads: 4,
      weightKg: 4,
      weighedHeads: 4,
      weightPerHeadKg: 0.875,
      diameterMm: 170,
      split: 2,
      bolted: 0,
      lost: 0,
      uncounted: 2,
      soft: 0,
      giving: 1,
      firm: 0,
    })
  })

  it('knows no weight where nothing was weighed: not zero', () => {
    expect(harvestOf([entry('cut', '2027-07-02', { plants: 5 })])).toMatchObject({
      heads: 5,
      weightKg: null,
      weightPerHeadKg: null,
      diameterMm: null,
    })
  })

  it('does not depend on the order of the entries', () => {
    const entries = fc.array(
      fc.record({
        kind: fc.constantFrom<HarvestEntry['kind'][]>('cut', 'split', 'lost', 'bolted', 'firmness'),
        on: fc.constantFrom('2027-06-01', '2027-07-02', '2027-07-03'),
        plants: fc.option(fc.integer({ min: 1, max: 9 })),
        weightKg: fc.option(fc.double({ min: 0.05, max: 9, noNaN: true })),
        diameterMm: fc.option(fc.integer({ min: 30, max: 300 })),
        firmness: fc.option(fc.constantFrom('soft' as const, 'giving' as const, 'firm' as const)),
      }),
    )
    fc.assert(
      fc.property(entries, (given) => {
        const ordered = harvestOf(given)
        const reversed = harvestOf([...given].reverse())
        expect({ ...reversed, weightPerHeadKg: null }).toEqual({ ...ordered, weightPerHeadKg: null })
        expect(reversed.weightPerHeadKg ?? 0).toBeCloseTo(ordered.weightPerHeadKg ?? 0, 9)
      }),
    )
  })
})
