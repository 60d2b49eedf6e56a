import { describe, expect, it } from 'vitest'
import type { SowingRun } from '../../../hub/core/plan/sowing-run.js'
import { runScore, type SowingWeek } from '../../../hub/core/plan/sowing-week.js'
import { sowingWindows } from '../../../hub/core/plan/sowing-windows.js'
import { addDays } from '../../../shared/local-time.js'

const week = (n: number, score: number, more: Partial<SowingWeek> = {}): SowingWeek => {
  const sowOn = addDays('2026-03-01', 7 * n)
  return {
    way: 'under cover',
    sowOn,
    emergedOn: addDays(sowOn, 8),
    plantOutOn: addDays(sowOn, 42),
    headingFrom: addDays(sowOn, 80),
    readyFrom: addDays(sowOn, 110),
    readyTo: addDays(sowOn, 125),
    readyEarly: null,
    readyLate: null,
    season: 'warming',
    headingMeanC: 17,
    headingBestPart: 1,
    readyChance: 1,
    heat: null,
    coldBolting: null,
    heatBolting: null,
    youngFrost: 0,
    killingFrost: 0,
    soil: null,
    soilMeanC: null,
    score,
    ...more,
  }
}
const weeks = (scores: readonly number[], more: Partial<SowingWeek> = {}): SowingWeek[] =>
  scores.map((score, n) => week(n, score, more))

describe('windows in weeks', () => {
  it('reach as far as weeks are good where the best is', () => {
    const [window] = sowingWindows(weeks([0.2, 0.5, 0.7, 0.95, 0.65, 0.55, 0.1]))
    expect(window).toMatchObject({ grade: 'good', sowFrom: '2026-03-15', sowTo: '2026-04-04' })
    expect(window!.best.sowOn).toBe('2026-03-22')
    expect(window!.plantOutTo).toBe(addDays('2026-04-04', 42))
  })

  it('reach down to half the best where it is not', () => {
    const [window] = sowingWindows(weeks([0.1, 0.25, 0.4, 0.19]))
    expect(window).toMatchObject({ grade: 'fair', sowFrom: '2026-03-08', sowTo: '2026-03-21' })
  })

  it('name the middle of weeks that are as good', () => {
    const [window] = sowingWindows(weeks([0.4, 0.9, 0.91, 0.9, 0.9, 0.9, 0.3]))
    expect(window!.best.sowOn).toBe(addDays('2026-03-01', 21))
  })

  it('are cut where spring crops end and autumn crops begin', () => {
    const both = [
      ...weeks([0.9, 0.9]),
      week(2, 0.9, { season: 'cooling' }),
      week(3, 0.9, { season: 'cooling' }),
    ]
    expect(sowingWindows(both).map(({ season }) => season)).toEqual(['warming', 'cooling'])
  })

  it('name a risky one only where its season has no better', () => {
    const never = { readyFrom: null } as const
    const apart = [week(0, 0.2), week(1, 0, never), week(2, 0.8)]
    expect(sowingWindows(apart).map(({ grade }) => grade)).toEqual(['good'])
    expect(sowingWindows(apart.slice(0, 2)).map(({ grade }) => grade)).toEqual(['risky'])
    expect(sowingWindows(weeks([0.05]))).toEqual([])
  })

  it('leave out weeks that frost takes too often, however well the rest do', () => {
    const frosty = [week(0, 0.9, { killingFrost: 0.4 }), week(1, 0.8, { youngFrost: 0.6 }), week(2, 0.7)]
    expect(sowingWindows(frosty)).toMatchObject([{ sowFrom: '2026-03-15', sowTo: '2026-03-21' }])
  })
})

describe('the score of a sowing', () => {
  const dose = (amount: number): SowingRun['heat'] => ({
    amount,
    unit: 'h',
    watchAt: 15,
    likelyAt: 45,
    level: 'none',
    unknownDays: 0,
  })
  const fine: SowingRun = {
    emerged: 7,
    plantedOut: 42,
    heading: 80,
    ready: 110,
    overdueDays: 3,
    finished: 125,
    headingFit: 1,
    headingBestPart: 1,
    headingMeanC: 17,
    heat: dose(0),
    cold: null,
    heatBolting: null,
    isYoungFrosted: false,
    isKilled: false,
  }

  it.each([
    ['nothing amiss', {}, 1],
    ['heat at its limit', { heat: dose(45) }, 0.8],
    ['heat at twice its limit', { heat: dose(90) }, 0.5],
    ['cold at its limit', { cold: dose(45) }, 0.5],
    ['lost young to frost', { isYoungFrosted: true }, 1 / 3],
    ['killed', { isKilled: true }, 0],
    ['never ready', { ready: null }, 0],
    ['seed four weeks in cold soil', { plantedOut: null, emerged: 28 }, 0.5],
    ['four months beyond its packet', { overdueDays: 120 }, 0.5],
    ['half fit for heads', { headingFit: 0.5 }, 0.5],
  ] as const)('with %s', (_, change, score) => {
    expect(runScore({ ...fine, ...change })).toBeCloseTo(score, 9)
  })
})
