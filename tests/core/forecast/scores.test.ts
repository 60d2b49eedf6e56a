import { describe, expect, it } from 'vitest'
import { pastYearsClimatology } from '../../../hub/core/forecast/baselines.js'
import { brierScore, errorScores, intervalCoverage, skillScore } from '../../../hub/core/forecast/scores.js'
import { verifySpellWarnings } from '../../../hub/core/forecast/spell-verification.js'

describe('scores', () => {
  it('of errors are their mean size and their mean', () => {
    const pairs = [
      { forecastC: 20, truthC: 18 },
      { forecastC: 20, truthC: 24 },
      { forecastC: 20, truthC: 20 },
    ]
    expect(errorScores(pairs)).toEqual({ maeC: 2, biasC: -2 / 3, count: 3 })
    expect(errorScores([])).toBeNull()
  })

  it('of chances are the mean square of what they were off', () => {
    const pairs = [
      { chance: 0.8, happened: true },
      { chance: 0.3, happened: false },
      { chance: 1, happened: false },
    ]
    expect(brierScore(pairs)).toBeCloseTo((0.04 + 0.09 + 1) / 3, 12)
    expect(brierScore([])).toBeNull()
  })

  it('against a reference run from below nothing to one', () => {
    expect(skillScore(0.1, 0.2)).toBe(0.5)
    expect(skillScore(0.2, 0.2)).toBe(0)
    expect(skillScore(0.3, 0.2)).toBeCloseTo(-0.5, 12)
    expect(skillScore(0.1, 0)).toBeNull()
  })

  it('of intervals count their ends', () => {
    const interval = { lowC: 10, highC: 20 }
    const truths = [9, 10, 15, 20, 21].map((truthC) => ({ ...interval, truthC }))
    expect(intervalCoverage(truths)).toBe(0.6)
    expect(intervalCoverage([])).toBeNull()
  })
})

describe('the climatology of past years', () => {
  it('counts the days around the calendar day of earlier years only', () => {
    const valueC = new Float64Array(3 * 365).fill(10)
    for (let i = 0; i < 365; i++) valueC[i] = 20
    // day 500 of the record: only the first year lies behind; day 865: the first and second
    expect(pastYearsClimatology(valueC, 500, 499, 15)).toEqual({ meanC: 20, shareAbove: 1, days: 31 })
    expect(pastYearsClimatology(valueC, 865, 864, 15)).toEqual({ meanC: 15, shareAbove: 0.5, days: 62 })
    expect(pastYearsClimatology(valueC, 200, 199, 15)).toBeNull()
  })

  it('passes over days without measurement and never looks past what is known', () => {
    const valueC = new Float64Array(800).fill(10)
    valueC.fill(Number.NaN, 130, 140)
    const known = pastYearsClimatology(valueC, 500, 499, 15)!
    expect(known.days).toBe(31 - 10)
    valueC.fill(99, 400)
    expect(pastYearsClimatology(valueC, 500, 399, 15)).toEqual(known)
  })
})

describe('the verification of warm-spell warnings', () => {
  const marks = (text: string): boolean[] => [...text].map((mark) => mark === 'x')
  const verify = (hot: string, warned: string) =>
    verifySpellWarnings({ hot: marks(hot), warned: marks(warned), spellDays: 3, leadDays: 3, fromIndex: 0 })

  it('counts a spell once, from the first warning to the day it is reached', () => {
    expect(verify('....xxxx....', '...xxx......')).toEqual({
      spells: 1,
      hitRate: 1,
      hitRateBeforeFirstDay: 1,
      meanLeadDays: 3,
      warnings: 1,
      falseAlarmRatio: 0,
    })
  })

  it('tells a warning on the first hot day from one before it', () => {
    expect(verify('....xxx.....', '....x.......')).toMatchObject({
      hitRate: 1,
      hitRateBeforeFirstDay: 0,
      meanLeadDays: 2,
    })
  })

  it('counts missed spells and warnings that nothing followed', () => {
    expect(verify('....xxx........xx......', '.........x....x........')).toMatchObject({
      spells: 1,
      hitRate: 0,
      meanLeadDays: null,
      warnings: 2,
      falseAlarmRatio: 1,
    })
  })

  it('does not count evenings within a spell, nor runs too short', () => {
    expect(verify('....xxxxx...xx.....', '......xxx..........')).toMatchObject({
      spells: 1,
      hitRate: 0,
      warnings: 0,
      falseAlarmRatio: null,
    })
  })

  it('has no rates without spells and warnings', () => {
    expect(verify('........', '........')).toEqual({
      spells: 0,
      hitRate: null,
      hitRateBeforeFirstDay: null,
      meanLeadDays: null,
      warnings: 0,
      falseAlarmRatio: null,
    })
  })
})
