import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { CROPS } from '../../../hub/core/crops/library.js'
import { countedFrom, stageMarks, stageOf } from '../../../hub/core/crops/stages.js'

const cabbage = CROPS.get('cabbage-early')!
const lettuce = CROPS.get('lettuce-leaf')!
const pea = CROPS.get('pea')!
const plantedOut = { sownOn: '2027-03-01', plantedOutOn: '2027-04-10', finishedOn: null }
const sownOnly = { sownOn: '2027-04-01', plantedOutOn: null, finishedOn: null }

describe('what counting starts from', () => {
  test('is planting out where there was one, else sowing', () => {
    expect(countedFrom(plantedOut)).toEqual({ start: 'planted-out', date: '2027-04-10' })
    expect(countedFrom(sownOnly)).toEqual({ start: 'sown', date: '2027-04-01' })
  })

  test('is not known without a date, and then neither is the stage', () => {
    const undated = { sownOn: null, plantedOutOn: null, finishedOn: null }
    expect(countedFrom(undated)).toBeNull()
    expect(stageOf(cabbage, 300, undated)).toBeNull()
  })
})

describe('a cabbage planted out', () => {
  test.each([
    [0, 'leafing', 'growing leaves'],
    [400, 'leafing', 'growing leaves'],
    [410, 'heading', 'head forming'],
    [818, 'heading', 'head forming'],
    [819, 'ready', 'ready to cut'],
    [5000, 'finished', 'past its best'],
  ])('after %d °C·d is %s', (degreeDaysC, stage, name) => {
    expect(stageOf(cabbage, degreeDaysC, plantedOut)).toMatchObject({ stage, name })
  })

  test('is finished when the grower says so, whatever the degree days', () => {
    const cleared = { ...plantedOut, finishedOn: '2027-05-01' }
    expect(stageOf(cabbage, 100, cleared)).toMatchObject({ stage: 'finished', name: 'finished', bbch: '99' })
  })
})

describe('a crop sown in place', () => {
  test('comes up before it leafs', () => {
    const stages = stageMarks(lettuce, 'sown').map((mark) => mark.stage)
    expect(stages).toEqual(['sown', 'emerged', 'leafing', 'ready', 'finished'])
    expect(stageOf(lettuce, 0, sownOnly)?.stage).toBe('sown')
    expect(stageOf(lettuce, null, sownOnly)?.stage).toBe('sown')
  })

  test('needs on top what a transplant brings with it', () => {
    const ready = (start: 'sown' | 'planted-out'): number =>
      stageMarks(cabbage, start).find((mark) => mark.stage === 'ready')!.degreeDaysC
    expect(ready('sown') - ready('planted-out')).toBe(cabbage.degreeDays.toPlantingOut.value)
  })

  test('that is usually sown, but was raised indoors, has less to go', () => {
    const ready = (start: 'sown' | 'planted-out'): number =>
      stageMarks(lettuce, start).find((mark) => mark.stage === 'ready')!.degreeDaysC
    expect(ready('planted-out')).toBeLessThan(ready('sown'))
    expect(ready('planted-out')).toBeGreaterThan(0)
  })
})

test('peas flower and pod where others head, with the codes of peas', () => {
  expect(stageMarks(pea, 'sown').find((mark) => mark.stage === 'heading')).toMatchObject({
    name: 'flowering and podding',
    bbch: '60-78',
  })
})

describe('every crop, started either way', () => {
  test('has its stages in order of degree days, the first at 0', () => {
    for (const crop of CROPS.values()) {
      for (const start of ['sown', 'planted-out'] as const) {
        const at = stageMarks(crop, start).map((mark) => mark.degreeDaysC)
        expect(at[0], crop.id).toBe(0)
        expect(at, crop.id).toEqual([...at].sort((a, b) => a - b))
      }
    }
  })

  test('never goes back a stage as warmth adds up', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...CROPS.values()),
        fc.constantFrom(plantedOut, sownOnly),
        fc.tuple(fc.double({ min: 0, max: 3000, noNaN: true }), fc.double({ min: 0, max: 500, noNaN: true })),
        (crop, dates, [degreeDaysC, moreC]) => {
          const now = stageOf(crop, degreeDaysC, dates)!
          const later = stageOf(crop, degreeDaysC + moreC, dates)!
          expect(later.degreeDaysC).toBeGreaterThanOrEqual(now.degreeDaysC)
        },
      ),
    )
  })

  test('refuses degree days that cannot be', () => {
    expect(() => stageOf(cabbage, -1, plantedOut)).toThrow(RangeError)
    expect(() => stageOf(cabbage, Number.NaN, plantedOut)).toThrow(RangeError)
  })
})
