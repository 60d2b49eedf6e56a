import { describe, expect, it } from 'vitest'
import { findGardenCrop } from '../../../hub/core/crops/garden-crops.js'
import { neighboursIn, roomProblems, takesNoMore } from '../../../hub/core/space/planting-room.js'
import type { Planting } from '../../../shared/api/garden.js'

const TODAY = '2027-05-10'
const BED = { name: 'South bed', kind: 'raised', lengthM: 1.2, widthM: 1.2, depthM: 0.3 } as const
const TUB = { name: 'Tub', kind: 'container', lengthM: 1.2, widthM: 1.2, depthM: 0.1 } as const
const TROUGH = { name: 'Trough', kind: 'container', lengthM: 2, widthM: 0.3, depthM: 0.3 } as const
const crop = (id: string) => findGardenCrop(id, [])!
const cropOf = (id: string) => findGardenCrop(id, [])
const CABBAGES: Planting = {
  id: 'p1',
  bed: 'south',
  crop: 'cabbage-early',
  variety: null,
  sownOn: null,
  plantedOutOn: '2027-04-20',
  plants: 8,
  spacingM: 0.4,
  finishedOn: '2027-06-20',
}

/** What is told of a planting like the cabbages, without any dates but its start, in a bed with others. */
function told(
  parts: Partial<Planting>,
  others: readonly Planting[] = [],
  bed: Parameters<typeof roomProblems>[2] = BED,
) {
  const planting = { ...CABBAGES, finishedOn: null, plantedOutOn: TODAY, ...parts }
  const neighbours = neighboursIn(bed, others, cropOf, TODAY, null)
  return roomProblems(planting, crop(planting.crop), bed, neighbours, TODAY)
}
const plain = (text: string | undefined): string => (text ?? '').replaceAll('\u00a0', ' ')

describe('a planting in a bed of its own', () => {
  it('is told nothing while it fits', () => {
    expect(told({ plants: 9 })).toEqual([])
  })

  it('is told how many fit, and how close so many would have to be', () => {
    const [problem, ...more] = told({ plants: 16 })
    expect(more).toEqual([])
    expect(problem).toMatchObject({ field: 'plants', isImpossible: false })
    expect(plain(problem?.message)).toBe('South bed holds 9 at 40 cm: give 9 or fewer, or 30 cm apart for 16')
  })

  it('is told where its kind does not bear so close a spacing', () => {
    const [problem] = told({ plants: 4, spacingM: 0.2 })
    expect(problem).toMatchObject({ field: 'spacingM', isImpossible: false })
    expect(plain(problem?.message)).toMatch(/^Too tight: .* Usual for Cabbage, early: 35 cm$/)
  })

  it('cannot stand wider apart than the bed is', () => {
    expect(told({ plants: 2, spacingM: 1.5 })).toEqual([
      {
        field: 'spacingM',
        isImpossible: true,
        message: expect.stringMatching(
          /^wider than South bed, which is 1.2\u00a0m wide: give 70\.\d\u00a0cm or less, at which 2 fit$/,
        ),
      },
    ])
  })

  it('may stand in one row where the bed is narrower than the spacing, if that is meant', () => {
    const [problem] = told({ plants: 4, crop: 'lettuce-head', spacingM: 0.4 }, [], TROUGH)
    expect(problem).toMatchObject({ field: 'spacingM', isImpossible: false })
    expect(plain(problem?.message)).toMatch(
      /^wider than Trough, which is 2 m × 30 cm: no plant has its whole room; 5 would stand in it to the edge\. Give 30 cm or less, at which 4 fit$/,
    )
  })

  it('cannot stand closer than seeds are strewn', () => {
    expect(told({ plants: 99_999, spacingM: 0.02 })).toMatchObject([{ field: 'plants', isImpossible: true }])
  })

  it('is told when a container holds too little soil for so many', () => {
    const [problem] = told({ plants: 9 }, [], TUB)
    expect(problem).toMatchObject({ field: 'plants', isImpossible: false })
    expect(plain(problem?.message)).toMatch(/^the soil of Tub feeds 6, at 19 litres/)
  })
})

describe('a planting beside others', () => {
  it('is told who stands there, until when, and for how many there is room', () => {
    const [problem] = told({ plants: 2 }, [CABBAGES])
    expect(plain(problem?.message)).toBe(
      'South bed holds 9 at 40 cm; 8 of Cabbage, early stand there until 20 June 2027: room for 1',
    )
    expect(told({ plants: 1 }, [CABBAGES])).toEqual([])
  })

  it('is told of those too when there are more than the bare bed holds', () => {
    expect(plain(told({ plants: 30 }, [CABBAGES])[0]?.message)).toMatch(/holds 9 .* room for 1$/)
  })

  it('has the whole bed on the day the others are finished', () => {
    expect(told({ plants: 9, plantedOutOn: '2027-06-20' }, [CABBAGES])).toEqual([])
    expect(told({ plants: 9, plantedOutOn: '2027-06-19' }, [CABBAGES])).toHaveLength(1)
  })

  it('is told of the day on which it becomes too tight, not only of its first', () => {
    const soon = { ...CABBAGES, id: 'p2', plantedOutOn: '2027-05-20' }
    expect(plain(told({ plants: 2 }, [soon])[0]?.message)).toContain(
      'from 20 May 2027 on 8 of Cabbage, early',
    )
  })

  it('counts different spacings by the part of the bed that each takes', () => {
    // 4 of 9 at 40 cm leave five ninths of the bed, and 16 lettuces fit into the whole of it at 30 cm
    const four = { ...CABBAGES, plants: 4 }
    expect(told({ crop: 'lettuce-head', spacingM: 0.3, plants: 8 }, [four])).toEqual([])
    expect(plain(told({ crop: 'lettuce-head', spacingM: 0.3, plants: 9 }, [four])[0]?.message)).toContain(
      'room for 8',
    )
  })

  it('says that an end is only expected', () => {
    const [problem] = told({ plants: 9 }, [{ ...CABBAGES, finishedOn: null }])
    expect(plain(problem?.message)).toMatch(/until about \d+ \w+ 2027/)
  })
})

describe('a change', () => {
  const known = crop('cabbage-early')
  const unfinished = { ...CABBAGES, finishedOn: null, plants: 20 }
  it('that takes no more ground is no new crowding', () => {
    expect(takesNoMore(unfinished, { ...unfinished, finishedOn: TODAY }, BED, known, TODAY)).toBe(true)
    expect(takesNoMore(unfinished, { ...unfinished, plants: 19 }, BED, known, TODAY)).toBe(true)
  })
  it.each([
    ['more plants', { plants: 21 }],
    ['another bed', { bed: 'north' }],
    ['an earlier start', { plantedOutOn: '2027-04-19' }],
    ['plants closer than their usual room', { spacingM: 0.2, plants: 5 }],
  ])('with %s is looked at', (_name, change) => {
    expect(takesNoMore(unfinished, { ...unfinished, ...change }, BED, known, TODAY)).toBe(false)
  })
})
