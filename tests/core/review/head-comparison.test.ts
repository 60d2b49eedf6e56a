/** What goes along with heavy heads: numbers and pairs, never a cause, and nothing where nothing differs. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { compareHeads, type WeighedPlanting } from '../../../hub/core/review/head-comparison.js'
import { rankAgreement } from '../../../hub/core/review/rank-agreement.js'
import type { HeadFactor } from '../../../shared/api/review.js'

const SAME: Readonly<Record<HeadFactor, number | null>> = {
  sun: 6,
  warmth: 16,
  heat: 12,
  chill: 0,
  spacing: 40,
  start: 120,
  feeding: 2,
  watering: 5,
}
const CABBAGE = { id: 'cabbage-early', name: 'Cabbage, early' }

const planting = (
  id: string,
  weightPerHeadKg: number,
  factors: Partial<Record<HeadFactor, number | null>> = {},
): WeighedPlanting => ({ id, weightPerHeadKg, weighedHeads: 6, factors: { ...SAME, ...factors } })

const compare = (plantings: readonly WeighedPlanting[]) => {
  const found = compareHeads(CABBAGE, plantings)
  if (found === null) throw new Error('nothing was compared')
  return found
}

describe('heads compared', () => {
  it('names what went along with the weights, with the numbers', () => {
    const { factors, words, plantings } = compare([
      planting('b', 0.9, { sun: 5.1 }),
      planting('d', 0.4, { sun: 3.2 }),
      planting('a', 1.2, { sun: 6.3 }),
      planting('c', 0.7, { sun: 4.4 }),
    ])
    expect(plantings).toEqual(['a', 'b', 'c', 'd'])
    const sun = factors.find(({ factor }) => factor === 'sun')
    expect(sun).toMatchObject({ values: [6.3, 5.1, 4.4, 3.2], pairsMore: 6, pairsLess: 0, goesAlong: true })
    // of 24 orders one lines up as well, and one the other way round
    expect(sun?.chance).toBeCloseTo(1 / 12, 12)
    expect(sun?.words).toBe(
      'In 6 of 6 pairs the heavier heads had more sun while they formed; shuffled at random these plantings would line up as well about 1 time in 12.',
    )
    expect(words[0]).toBe('One thing went along with the weight of the heads: sun.')
    expect(words.at(-2)).toContain(
      '4 plantings are few: even a perfect order comes about by chance about 1 time in 12',
    )
    expect(words.at(-1)).toMatch(/^Other explanations stay open: spacing, feeding, watering, soil, pests/)
  })

  it('does not choose between things that came together', () => {
    const { words } = compare([
      planting('a', 1.2, { sun: 6.3, spacing: 50 }),
      planting('b', 0.9, { sun: 5.1, spacing: 45 }),
      planting('c', 0.5, { sun: 3.9, spacing: 35 }),
    ])
    expect(words[0]).toBe(
      'Two things went along with the weight of the heads: sun and spacing. Which of them mattered, if any did, these plantings cannot tell: they came together.',
    )
    expect(words.at(-1)).not.toContain('spacing')
  })

  it('claims nothing of two plantings, whatever they differ in', () => {
    const { factors, words } = compare([planting('a', 1.2, { sun: 8 }), planting('b', 0.3, { sun: 2 })])
    expect(factors.some(({ goesAlong }) => goesAlong)).toBe(false)
    expect(words).toEqual([
      'Two plantings can be put side by side and read, but they show nothing: any two differ in nearly everything.',
    ])
  })

  it('is silent of one planting, and of what is known of one alone', () => {
    expect(compareHeads(CABBAGE, [planting('a', 1)])).toBeNull()
    const { factors } = compare([planting('a', 1), planting('b', 2, { heat: null })])
    expect(factors.map(({ factor }) => factor)).not.toContain('heat')
  })
})

const PLANTINGS = fc.uniqueArray(
  fc.record({
    id: fc.stringMatching(/^[a-z]{3}$/),
    weightPerHeadKg: fc.integer({ min: 1, max: 30 }).map((n) => n / 10),
    weighedHeads: fc.integer({ min: 1, max: 12 }),
    factors: fc.record({
      sun: fc.option(fc.integer({ min: 0, max: 12 })),
      warmth: fc.option(fc.integer({ min: 5, max: 25 })),
      heat: fc.option(fc.integer({ min: 0, max: 200 })),
      chill: fc.option(fc.integer({ min: 0, max: 60 })),
      spacing: fc.integer({ min: 20, max: 60 }),
      start: fc.integer({ min: 1, max: 365 }),
      feeding: fc.integer({ min: 0, max: 6 }),
      watering: fc.integer({ min: 0, max: 40 }),
    }),
  }),
  { selector: ({ id }) => id, minLength: 2, maxLength: 6 },
)

describe('what holds for any plantings', () => {
  it('the order in which they come changes nothing', () => {
    fc.assert(
      fc.property(PLANTINGS, fc.func(fc.integer()), (plantings, key) => {
        const shuffled = [...plantings].sort((a, b) => key(a.id) - key(b.id))
        expect(compareHeads(CABBAGE, shuffled)).toEqual(compareHeads(CABBAGE, plantings))
      }),
      { numRuns: 60 },
    )
  })

  it('heads of one weight lead to no claim', () => {
    fc.assert(
      fc.property(PLANTINGS, fc.integer({ min: 1, max: 40 }), (plantings, weight) => {
        const alike = plantings.map((one) => ({ ...one, weightPerHeadKg: weight / 10 }))
        const { factors, words } = compare(alike)
        expect(factors.filter(({ goesAlong }) => goesAlong)).toEqual([])
        expect(words).toHaveLength(1)
      }),
      { numRuns: 60 },
    )
  })

  it('what did not differ is never named', () => {
    fc.assert(
      fc.property(PLANTINGS, (plantings) => {
        const alike = plantings.map((one) => ({ ...one, factors: { ...one.factors, spacing: 40 } }))
        const spacing = compare(alike).factors.find(({ factor }) => factor === 'spacing')
        expect(spacing).toMatchObject({ goesAlong: false, chance: null })
      }),
      { numRuns: 60 },
    )
  })

  it('no sentence gives a cause', () => {
    fc.assert(
      fc.property(PLANTINGS, (plantings) => {
        const { words, factors } = compare(plantings)
        const said = [...words, ...factors.map((factor) => factor.words)].join(' ')
        expect(said).not.toMatch(/\b(because|caused?|due to|owing|led to|made them|therefore|proves?)\b/i)
      }),
      { numRuns: 100 },
    )
  })

  it('a chance is a share of orders, and no less than that of the one order and its reverse', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 0, max: 9 }), fc.integer({ min: 0, max: 9 })), {
          minLength: 3,
          maxLength: 7,
        }),
        (pairs) => {
          const { alike, contrary, chance } = rankAgreement(
            pairs.map(([a]) => a),
            pairs.map(([, b]) => b),
          )
          expect(alike + contrary).toBeLessThanOrEqual((pairs.length * (pairs.length - 1)) / 2)
          if (chance === null) return
          expect(chance).toBeLessThanOrEqual(1)
          expect(chance).toBeGreaterThanOrEqual(2 / [0, 1, 2, 6, 24, 120, 720, 5040][pairs.length]! - 1e-12)
        },
      ),
      { numRuns: 80 },
    )
  })
})
