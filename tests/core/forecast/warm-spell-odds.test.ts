import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { TemperatureOdds } from '../../../hub/core/forecast/normal-odds.js'
import { hotRunAtEnd, warmSpellOdds } from '../../../hub/core/forecast/warm-spell-odds.js'

const day = (meanC: number, sdC = 2): TemperatureOdds => ({ meanC, sdC, atLeastC: null, atMostC: null })
const at27 = (spellDays: number, hotDaysBefore = 0) => ({ thresholdC: 27, spellDays, hotDaysBefore })

describe('the chance of a warm spell', () => {
  it('is the product of the days where their errors have nothing to do with each other', () => {
    const odds = warmSpellOdds([day(27), day(27), day(27)], [0, 0], at27(3))
    expect(odds.reachedBy[2]).toBeCloseTo(1 / 8, 3)
    expect(odds.reachedBy[0]).toBe(0)
    for (const chance of odds.hot) expect(chance).toBeCloseTo(0.5, 3)
  })

  it.each([-0.5, 0.3, 0.6, 0.9])('of two even days with correlation %d is 1/4 + asin(r)/2π', (link) => {
    // Sheppard's formula for the quadrant of a bivariate normal (Abramowitz & Stegun 1964, 26.3.19)
    const odds = warmSpellOdds([day(27), day(27)], [link], at27(2))
    expect(odds.reachedBy[1]).toBeCloseTo(0.25 + Math.asin(link) / (2 * Math.PI), 2)
  })

  it('of three even days follows the three correlations', () => {
    // 1/8 + (asin r12 + asin r23 + asin r13) / 4π with r13 = r12 · r23 along a chain
    const expected = 1 / 8 + (Math.asin(0.6) + Math.asin(0.5) + Math.asin(0.3)) / (4 * Math.PI)
    expect(warmSpellOdds([day(27), day(27), day(27)], [0.6, 0.5], at27(3)).reachedBy[2]).toBeCloseTo(
      expected,
      2,
    )
  })

  it('counts the hot days that have been', () => {
    const odds = warmSpellOdds([day(27), day(20, 0.5), day(27)], [0, 0], at27(3, 2))
    expect(odds.reachedBy[0]).toBeCloseTo(0.5, 3)
    // the cool second day ends the run, and a spell reached stays reached
    expect(odds.reachedBy[2]).toBeCloseTo(0.5, 3)
    expect(odds.hotSinceFirst[1]).toBeLessThan(0.001)
    expect(warmSpellOdds([day(27)], [], at27(3, 1)).reachedBy[0]).toBe(0)
  })

  it('finds a run anywhere in the days', () => {
    const days = [day(15, 0.5), day(35, 0.5), day(35, 0.5), day(15, 0.5), day(15, 0.5)]
    const odds = warmSpellOdds(days, [0.5, 0.5, 0.5, 0.5], at27(2))
    expect(odds.reachedBy.map((chance) => Math.round(chance))).toEqual([0, 0, 1, 1, 1])
  })

  it('takes what is known as known', () => {
    const reached: TemperatureOdds = { meanC: 25, sdC: 2, atLeastC: 27.5, atMostC: null }
    const known: TemperatureOdds = { meanC: 26, sdC: 0, atLeastC: null, atMostC: null }
    expect(warmSpellOdds([reached], [], at27(1)).reachedBy[0]).toBeCloseTo(1, 6)
    expect(warmSpellOdds([known], [], at27(1)).reachedBy[0]).toBe(0)
  })

  it('grows with the days, falls with the threshold, and stays between 0 and 1', () => {
    const means = fc.array(fc.double({ min: 15, max: 35, noNaN: true }), { minLength: 1, maxLength: 4 })
    fc.assert(
      fc.property(
        means,
        fc.double({ min: 0, max: 0.9, noNaN: true }),
        fc.integer({ min: 1, max: 4 }),
        (m, link, n) => {
          const days = m.map((meanC) => day(meanC))
          const links = m.slice(1).map(() => link)
          const low = warmSpellOdds(days, links, { thresholdC: 25, spellDays: n, hotDaysBefore: 0 })
          const high = warmSpellOdds(days, links, { thresholdC: 27, spellDays: n, hotDaysBefore: 0 })
          for (const [i, chance] of low.reachedBy.entries()) {
            expect(chance).toBeGreaterThanOrEqual((low.reachedBy[i - 1] ?? 0) - 1e-9)
            expect(chance).toBeLessThanOrEqual(1)
            expect(high.reachedBy[i]).toBeLessThanOrEqual(chance + 1e-9)
          }
        },
      ),
      { numRuns: 40 },
    )
  })

  it('refuses days and links that do not fit, and spells without days', () => {
    expect(() => warmSpellOdds([day(20), day(20)], [1], at27(2))).toThrow(/between/)
    expect(() => warmSpellOdds([day(20), day(20)], [], at27(2))).toThrow(/links/)
    expect(() => warmSpellOdds([day(20)], [], at27(0))).toThrow(/one day or more/)
  })
})

describe('the run of hot days at the end of a series', () => {
  it.each([
    [[], 0],
    [[28, 29], 2],
    [[28, 26, 29], 1],
    [[28, null, 29, 30], 2],
    [[28, 27], 0],
    [[28, null], 0],
  ])('of %j is %d', (maximaC, expected) => {
    expect(hotRunAtEnd(maximaC, 27)).toBe(expected)
  })
})
