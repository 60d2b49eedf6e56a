import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  bedLengthText,
  lengthIn,
  lengthsInText,
  showLength,
  showWeightRange,
  spacingText,
} from '../../dashboard/src/format/lengths.js'
import { plantingFormPath, prefillFrom } from '../../dashboard/src/garden/planting-prefill.js'
import { nextSpacingM, spacingLadder } from '../../dashboard/src/space/ladder.js'
import { pictureFrame, scaleBarM } from '../../dashboard/src/space/picture-scale.js'
import { rowsOf } from '../../dashboard/src/space/rows.js'
import { spaceAddressIn, spacePath } from '../../dashboard/src/space/space-address.js'
import { fieldsIn, firstFields, questionOf } from '../../dashboard/src/space/space-question.js'
import { orderWords, placesWords, tapeSentence } from '../../dashboard/src/space/space-words.js'
import type { EdgeRule, Ground } from '../../hub/core/space/ground.js'
import { layOut, type Pattern } from '../../hub/core/space/layout.js'
import type { Bed } from '../../shared/api/garden.js'
import type { Space, SpaceLayout } from '../../shared/api/space.js'

const INCH = 0.0254
const plain = (text: string): string => text.replaceAll('\u00a0', ' ')

describe('lengths', () => {
  test.each([
    [0.4064, '40.6 cm', '16 in'],
    [0.35, '35 cm', '13¾ in'],
    [0.005, '0.5 cm', '¼ in'],
    [1.2192, '1.22 m', '4 ft'],
    [2.4, '2.4 m', '7 ft 10½ in'],
    [0.9999, '1 m', '3 ft 3¼ in'],
    [0.9144, '91.4 cm', '36 in'],
  ])('%f m is told as %s or %s', (m, metric, feet) => {
    expect(plain(showLength(m, 'm'))).toBe(metric)
    expect(plain(showLength(m, 'ft'))).toBe(feet)
  })

  test.each([
    ['40', 'cm', 0.4],
    ['40,5 cm', 'in', 0.405],
    ['1.2', 'm', 1.2],
    ['16', 'in', 0.4064],
    ['4', 'ft', 1.2192],
    ['4 ft 6 in', 'ft', 1.3716],
    ['4\'6"', 'ft', 1.3716],
    ['4 ft 6', 'm', 1.3716],
    ['15¾ in', 'cm', 0.40005],
    ['400mm', 'ft', 0.4],
  ] as const)('%s in a field of %s is read as %f m', (text, bare, m) => {
    expect(lengthIn(text, bare)).toBeCloseTo(m, 9)
  })

  test.each(['', 'wide', '6 in 4 ft', '-3', '4 5', '1.2.3', '3 spans', '1e3', '4 ft 6 ft'])(
    'no length is read from %j',
    (text) => expect(lengthIn(text, 'cm')).toBeNull(),
  )

  test('come back from their fields as they were put in', () => {
    const tape = fc.double({ min: 0.02, max: 5, noNaN: true })
    fc.assert(
      fc.property(tape, fc.constantFrom('m' as const, 'ft' as const), (m, unit) => {
        expect(Math.abs((lengthIn(bedLengthText(m, unit), unit) ?? 0) - m)).toBeLessThan(0.0006)
        const bare = unit === 'm' ? 'cm' : 'in'
        expect(Math.abs((lengthIn(spacingText(m, unit), bare) ?? 0) - m)).toBeLessThan(0.0006)
      }),
    )
  })

  test('in a sentence of the hub follow the reader, other figures stay', () => {
    const told = 'South bed holds 9 at 40.6\u00a0cm, which is 1.22\u00a0m wide until 3 May; 8 medium 4 cmd'
    expect(plain(lengthsInText(told, 'ft'))).toBe(
      'South bed holds 9 at 16 in, which is 4 ft wide until 3 May; 8 medium 4 cmd',
    )
    expect(lengthsInText(told, 'm')).toBe(told)
  })

  test('weights come in pounds beside feet', () => {
    expect(plain(showWeightRange(1, 2, 'm'))).toBe('1.0 to 2.0 kg')
    expect(plain(showWeightRange(1, 2, 'ft'))).toBe('2.2 to 4.4 lb')
  })
})

/** A layout as the hub sends it. */
function sent(
  ground: Ground,
  spacingM: number,
  pattern: Pattern,
  edge: EdgeRule = 'own-square',
): SpaceLayout {
  const { spots, fromEdgeM } = layOut(ground, spacingM, pattern, edge)
  return {
    pattern,
    edge,
    fromEdgeM,
    plants: spots.length,
    couldBeM: null,
    spots: { xM: spots.map((s) => s.xM), yM: spots.map((s) => s.yM) },
  }
}
const FOUR: Ground = { shape: 'rectangle', lengthM: 48 * INCH, widthM: 48 * INCH }
const sized = (ground: Ground): Pick<Space, 'lengthM' | 'widthM' | 'shape'> =>
  ground.shape === 'round' ? { shape: 'round', lengthM: ground.diameterM, widthM: ground.diameterM } : ground

describe('rows', () => {
  const words = (ground: Ground, spacingM: number, pattern: Pattern): string =>
    orderWords(rowsOf(sent(ground, spacingM, pattern), sized(ground))!)

  test('are counted in words', () => {
    expect(words(FOUR, 16 * INCH, 'square')).toBe('three by three')
    expect(words({ shape: 'rectangle', lengthM: 2, widthM: 0.4 }, 0.4, 'square')).toBe('in one row')
    expect(words(FOUR, 18 * INCH, 'offset')).toBe('in three rows of two, every second one shifted')
    expect(words({ shape: 'round', diameterM: 0.9 }, 0.3, 'rings')).toBe(
      'six round the rim and one in the middle',
    )
    expect(words({ shape: 'round', diameterM: 0.4064 }, 0.4064, 'rings')).toBe('in the middle')
  })

  test('hold every plant once, wherever they run', () => {
    const ground = fc.record({
      shape: fc.constant('rectangle' as const),
      lengthM: fc.double({ min: 0.4, max: 5, noNaN: true }),
      widthM: fc.double({ min: 0.4, max: 5, noNaN: true }),
    })
    const pattern = fc.constantFrom('square' as const, 'offset' as const)
    fc.assert(
      fc.property(ground, fc.double({ min: 0.15, max: 0.9, noNaN: true }), pattern, (bed, spacingM, kind) => {
        const layout = sent(bed, spacingM, kind)
        const rows = rowsOf(layout, bed)
        expect((rows?.rows ?? []).reduce((sum, row) => sum + row.plants, 0)).toBe(layout.plants)
      }),
    )
  })

  test('are told for the tape: apart, and from the edge', () => {
    const rows = rowsOf(sent(FOUR, 16 * INCH, 'square'), sized(FOUR))!
    expect(plain(tapeSentence(rows, sized(FOUR), 'ft'))).toBe(
      'Rows 16 in apart, the first 8 in from the long side; in the row 16 in from plant to plant, the first 8 in from the end.',
    )
    expect(plain(placesWords(rows.rows, 'ft')[0] ?? '')).toBe('8 in, 24 in, 3 ft 4 in')
    expect(placesWords(rows.rows, 'ft')[2]).toBe('as in row 1')
  })
})

describe('the picture', () => {
  test('is as wide for a metre as it is high, and no wider than the page', () => {
    const lengths = fc.double({ min: 0.3, max: 20, noNaN: true })
    fc.assert(
      fc.property(lengths, lengths, fc.constantFrom(320, 560, 1100), (lengthM, widthM, width) => {
        const frame = pictureFrame(width, lengthM, widthM, 0.1)
        expect(frame.left + (lengthM + 0.1) * frame.pxPerM).toBeLessThanOrEqual(width + 1e-6)
        expect(frame.top + (widthM + 0.1) * frame.pxPerM).toBeLessThanOrEqual(frame.height)
      }),
    )
  })

  test('has a bar of a round length', () => {
    expect(scaleBarM(250, 'm')).toBe(0.5)
    expect(scaleBarM(250, 'ft')).toBeCloseTo(0.3048, 9)
    expect(scaleBarM(30, 'm')).toBe(2)
  })
})

describe('spacings side by side', () => {
  test('are round figures of the reader’s tape about the usual one', () => {
    expect(spacingLadder(0.35, 1.44, 'm')).toEqual([0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5])
    expect(spacingLadder(0.4064, 1.44, 'ft').map((m) => Math.round(m / INCH))).toEqual([
      10, 12, 14, 16, 18, 20, 24,
    ])
    // what the hub would refuse is left out
    expect(spacingLadder(0.06, 200, 'm')).toEqual([0.1, 0.125])
  })

  test('are stepped through mark by mark', () => {
    expect(nextSpacingM(0.35, 1, 'm')).toBe(0.36)
    expect(nextSpacingM(0.4064, -1, 'm')).toBe(0.4)
    expect(nextSpacingM(0.4064, 1, 'ft')).toBeCloseTo(17 * INCH, 6)
    expect(nextSpacingM(0.005, -1, 'm')).toBe(0.005)
  })
})

const BEDS: Bed[] = [
  { id: 'south', name: 'South', kind: 'raised', lengthM: 2.4, widthM: 1.2, depthM: null },
  { id: 'pot', name: 'Pot', kind: 'container', lengthM: 0.4, widthM: 0.4, depthM: 0.3 },
]

describe('the question to the hub', () => {
  const first = firstFields({}, BEDS, [], 'm')
  const withCrop = { ...first, crop: 'kale', spacingM: '40' }

  test('is about the first bed unless the address says otherwise', () => {
    expect(first).toMatchObject({ bed: 'south', shape: 'rectangle' })
    expect(firstFields({ bed: 'gone' }, BEDS, [], 'm').bed).toBe('')
    expect(firstFields({ lengthM: 1.2192 }, BEDS, [], 'ft')).toMatchObject({ bed: '', lengthM: '4' })
  })

  test('names the bed, or the size that was typed', () => {
    const ofBed = questionOf(withCrop, BEDS[0]!, 0.4, 'm').question
    expect(ofBed?.address).toEqual({ bed: 'south', crop: 'kale', spacingM: 0.4, shape: null })
    const typed = questionOf(
      { ...withCrop, bed: '', lengthM: '4 ft', widthM: '1.2' },
      null,
      0.4,
      'm',
    ).question
    expect(typed?.address).toMatchObject({ lengthM: 1.2192, widthM: 1.2, depthM: null })
    expect(new URLSearchParams(typed?.query).get('comparedM')).toContain('0.4')
  })

  test('takes a container as long as it is wide for round, and no long bed', () => {
    const round = { ...withCrop, shape: 'round' }
    expect(questionOf(round, BEDS[1]!, 0.4, 'm').question?.address.shape).toBe('round')
    expect(questionOf(round, BEDS[0]!, 0.4, 'm').question?.address.shape).toBeNull()
  })

  test('is not asked while a field is no length, and says which', () => {
    const { question, problems } = questionOf({ ...withCrop, spacingM: 'wide' }, BEDS[0]!, 0.4, 'm')
    expect(question).toBeNull()
    expect([...(problems ?? [])]).toEqual([['spacingM', 'write a length, e.g. 40']])
    const tiny = questionOf({ ...withCrop, bed: '', lengthM: '0', widthM: '1' }, null, 0.4, 'm')
    expect(tiny.problems?.get('lengthM')).toMatch(/from 1 cm to 200 m/)
  })

  test('keeps its lengths when the reader changes the unit', () => {
    const inFeet = fieldsIn({ ...withCrop, lengthM: '1.2192', widthM: 'wide' }, 'm', 'ft')
    expect(inFeet).toMatchObject({ lengthM: '4', widthM: 'wide', spacingM: '15.75' })
  })
})

describe('addresses', () => {
  test('of the planting form hand values on', () => {
    const given = {
      crop: 'kale',
      bed: 'south',
      spacingM: 0.4064,
      plants: 9,
      sownOn: '2027-03-01',
      plantedOutOn: null,
    }
    const path = plantingFormPath(given)
    expect(path).toBe('/garden?crop=kale&bed=south&spacingM=0.4064&plants=9&sownOn=2027-03-01')
    expect(prefillFrom(new URL(path, 'http://x').search)).toEqual({ ...given, variety: null })
  })

  test('of the planting form may be mistyped, and then say nothing', () => {
    expect(prefillFrom('')).toBeNull()
    expect(prefillFrom('?span=1d')).toBeNull()
    expect(prefillFrom('?plants=many&sownOn=soon&spacingM=-1')).toMatchObject({
      plants: null,
      sownOn: null,
      spacingM: null,
    })
  })

  test('of the page about space come back as they were', () => {
    const address = {
      bed: null,
      crop: 'kale',
      spacingM: 0.3,
      shape: 'round',
      lengthM: 0.9,
      widthM: null,
      depthM: 0.4,
    } as const
    expect(spaceAddressIn(new URL(spacePath(address), 'http://x').search)).toEqual(address)
    expect(spacePath({})).toBe('/plan/space')
    expect(spaceAddressIn('?spacingM=wide&lengthM=1e9')).toMatchObject({ spacingM: null, lengthM: null })
  })
})
