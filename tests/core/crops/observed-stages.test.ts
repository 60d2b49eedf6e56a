import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { CROPS } from '../../../hub/core/crops/library.js'
import { withObserved } from '../../../hub/core/crops/observed-stages.js'
import { type Stage, type StageMark, stageMarks } from '../../../hub/core/crops/stages.js'

const mark = (stage: Stage, degreeDaysC: number): StageMark => ({ stage, name: stage, bbch: '', degreeDaysC })
const MARKS = [mark('leafing', 0), mark('heading', 400), mark('ready', 800), mark('finished', 1000)]
const at = (marks: readonly StageMark[]): number[] => marks.map((m) => Math.round(m.degreeDaysC))

describe('a sighting', () => {
  test('moves its stage to where it was seen, and later ones in proportion', () => {
    expect(at(withObserved(MARKS, [{ stage: 'heading', degreeDaysC: 480 }]))).toEqual([0, 480, 960, 1200])
    expect(at(withObserved(MARKS, [{ stage: 'heading', degreeDaysC: 300 }]))).toEqual([0, 300, 600, 750])
  })

  test('that is hard to believe moves later stages only as far as itself', () => {
    expect(at(withObserved(MARKS, [{ stage: 'heading', degreeDaysC: 100 }]))).toEqual([0, 100, 500, 700])
  })

  test('after another counts from there', () => {
    const seen = [
      { stage: 'ready' as const, degreeDaysC: 900 },
      { stage: 'heading' as const, degreeDaysC: 300 },
    ]
    expect(at(withObserved(MARKS, seen))).toEqual([0, 300, 900, 1125])
  })

  test('of a stage between two sightings is not needed: its mark lies between them', () => {
    expect(at(withObserved(MARKS, [{ stage: 'ready', degreeDaysC: 600 }]))).toEqual([0, 300, 600, 750])
  })

  test('repeated counts the first time', () => {
    const twice = [
      { stage: 'heading' as const, degreeDaysC: 500 },
      { stage: 'heading' as const, degreeDaysC: 440 },
    ]
    expect(at(withObserved(MARKS, twice))[1]).toBe(440)
  })

  test('of a stage the crop does not have changes nothing', () => {
    expect(withObserved(MARKS, [{ stage: 'emerged', degreeDaysC: 50 }])).toEqual(MARKS)
    expect(withObserved(MARKS, [])).toEqual(MARKS)
  })

  test('that cannot be is refused', () => {
    expect(() => withObserved(MARKS, [{ stage: 'ready', degreeDaysC: Number.NaN }])).toThrow(RangeError)
  })
})

test('whatever is seen, stages stay in order', () => {
  const sighting = fc.record({
    stage: fc.constantFrom<Stage>('sown', 'emerged', 'leafing', 'heading', 'ready', 'finished'),
    degreeDaysC: fc.double({ min: 0, max: 3000, noNaN: true }),
  })
  fc.assert(
    fc.property(
      fc.constantFrom(...CROPS.values()),
      fc.constantFrom('sown' as const, 'planted-out' as const),
      fc.array(sighting, { maxLength: 5 }),
      (crop, start, seen) => {
        const marks = withObserved(stageMarks(crop, start), seen).map((m) => m.degreeDaysC)
        for (const [i, c] of marks.entries())
          expect(c).toBeGreaterThanOrEqual(i === 0 ? 0 : marks[i - 1]! - 1e-9)
      },
    ),
  )
})
