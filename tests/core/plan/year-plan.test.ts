import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { findCrop } from '../../../hub/core/crops/library.js'
import { climateFromNormals } from '../../../hub/core/plan/climate-from-normals.js'
import type { SowingWeek } from '../../../hub/core/plan/sowing-week.js'
import { daysUnderCover } from '../../../hub/core/plan/under-cover.js'
import { planYear, weekPlanner, type YearPlan } from '../../../hub/core/plan/year-plan.js'
import { addDays, daysBetween } from '../../../shared/local-time.js'
import { KANSAS, type NamedClimate, SEATTLE, SURREY } from './support/climates.js'
import { bestWindow, planAt } from './support/guidance.js'

const cabbage = findCrop('cabbage-early')!
const shifted = (months: readonly number[], by: number): number[] =>
  months.map((_, i) => months[(i + by) % 12]!)
const mirrored = (place: NamedClimate): NamedClimate => ({
  latitudeDeg: -place.latitudeDeg,
  minC: shifted(place.minC, 6),
  maxC: shifted(place.maxC, 6),
})
const warmer = (place: NamedClimate, byC: number): NamedClimate => ({
  ...place,
  minC: place.minC.map((c) => c + byC),
  maxC: place.maxC.map((c) => c + byC),
})
const steady = (minC: number, maxC: number): NamedClimate => ({
  latitudeDeg: 0,
  minC: Array.from({ length: 12 }, () => minC),
  maxC: Array.from({ length: 12 }, () => maxC),
})
const weigherAt = (place: NamedClimate): ReturnType<typeof weekPlanner> =>
  weekPlanner(cabbage, climateFromNormals(place, null, null), place.latitudeDeg)

describe('under cover', () => {
  it('a cabbage takes about six weeks until it is planted out', () => {
    expect(daysUnderCover(cabbage).value).toBeCloseTo(42, -0.5)
    const [week] = planAt(SEATTLE, 'cabbage-early').weeks
    expect(daysBetween(week!.sowOn, week!.plantOutOn!)).toBe(daysUnderCover(cabbage).value)
  })

  it('celery takes longer than lettuce', () => {
    expect(daysUnderCover(findCrop('celery')!).value).toBeGreaterThan(
      daysUnderCover(findCrop('lettuce-head')!).value,
    )
  })
})

describe('a week of sowing', () => {
  it('comes up, is planted, heads, is ready and past its best in that order', () => {
    for (const week of planAt(SURREY, 'cabbage-early').weeks) {
      const dates = [
        week.sowOn,
        week.emergedOn,
        week.plantOutOn,
        week.headingFrom,
        week.readyFrom,
        week.readyTo,
      ]
      const known = dates.filter((date) => date !== null)
      expect(known).toEqual([...known].sort())
    }
  })

  it('gives a crop of leaves a window in which they fill out', () => {
    const { best } = bestWindow(planAt(SEATTLE, 'spinach'), 'direct', 'cooling')
    expect(best.headingFrom! > best.emergedOn!).toBe(true)
    expect(best.headingFrom! < best.readyFrom!).toBe(true)
    expect(best.heat).toBeNull()
    expect(best.heatBolting).not.toBeNull()
  })

  it('feels no cold while plants are too small for it', () => {
    const at = weigherAt(SEATTLE)
    // set out into the same cold spring: large plants of autumn feel it, those of March hardly
    expect(at('under cover', '2026-08-16').coldBolting!.likely).toBeGreaterThan(0.8)
    expect(at('under cover', '2026-02-08').coldBolting!.likely).toBeLessThan(0.2)
  })

  it('waits for the soil where it is sown in place', () => {
    const at = weigherAt(KANSAS)
    const winter = at('direct', '2026-01-04')
    expect(winter).toMatchObject({ soil: 'too cold', readyFrom: null, score: 0 })
    expect(at('direct', '2026-04-26').soil).toBe('fit')
  })

  it('says how likely heat is while heads form', () => {
    const at = weigherAt(KANSAS)
    expect(at('under cover', '2026-04-12').heat!.likely).toBe(1)
    expect(at('under cover', '2026-08-09').heat!.likely).toBeLessThan(0.2)
  })
})

describe('windows', () => {
  it('are none where it is always hot', () => {
    expect(planAt(steady(24, 32), 'cabbage-early').windows).toEqual([])
  })

  it('are the whole year where it is always best', () => {
    const plan = planAt(steady(13, 21), 'cabbage-early')
    const under = plan.windows.filter(({ way }) => way === 'under cover')
    expect(under).toHaveLength(1)
    expect(under[0]).toMatchObject({ grade: 'good', sowFrom: '2026-01-04' })
    expect(under[0]!.sowTo >= '2026-12-28').toBe(true)
  })

  it('go round the new year', () => {
    // eastern winters: sown before the new year for heads in spring
    const plan = planAt(
      { ...SEATTLE, minC: warmer(SEATTLE, 5).minC, maxC: warmer(SEATTLE, 5).maxC },
      'cabbage-early',
    )
    const spring = bestWindow(plan, 'under cover', 'warming')
    expect(spring.sowFrom < '2026-01-04').toBe(true)
    expect(spring.best.sowOn >= '2026-01-04').toBe(true)
  })

  it('hold their best week', () => {
    for (const { sowFrom, sowTo, best } of planAt(SURREY, 'cabbage-mid').windows) {
      expect(best.sowOn >= sowFrom && best.sowOn <= sowTo).toBe(true)
    }
  })

  it('are found within a part of the year too', () => {
    const climate = climateFromNormals(SEATTLE, null, null)
    const plan = planYear(cabbage, climate, 47, '2026-05-03', '2026-08-30', ['under cover'])
    expect(plan.weeks).toHaveLength(18)
    const fall = bestWindow(plan, 'under cover', 'cooling')
    expect(fall.best.sowOn).toBe(
      bestWindow(planAt(SEATTLE, 'cabbage-early'), 'under cover', 'cooling').best.sowOn,
    )
    for (const { sowFrom } of plan.windows) expect(sowFrom >= '2026-05-03').toBe(true)
  })

  it('refuse a range that is none', () => {
    const climate = climateFromNormals(SEATTLE, null, null)
    expect(() => planYear(cabbage, climate, 47, '2026-05-03', '2026-05-02')).toThrow(RangeError)
    expect(() => planYear(cabbage, climate, 47, '2026-01-01', '2027-06-01')).toThrow(RangeError)
  })
})

describe('laws', () => {
  const halfYearApart = (a: string, b: string): number => {
    const days = Math.abs(daysBetween(a, b)) % 365
    return Math.abs(Math.min(days, 365 - days) - 182.5)
  }
  it.each([
    ['Seattle', SEATTLE],
    ['Kansas', KANSAS],
    ['Surrey', SURREY],
  ])('south of the equator it is the same half a year later: %s', (_, place) => {
    const north = planAt(place, 'cabbage-early')
    const south = planAt(mirrored(place), 'cabbage-early')
    for (const season of ['warming', 'cooling'] as const) {
      const a = bestWindow(north, 'under cover', season)
      const b = bestWindow(south, 'under cover', season)
      // made-up weather strays differently: three weeks, and a tenth of the score
      expect(halfYearApart(a.best.sowOn, b.best.sowOn)).toBeLessThanOrEqual(21)
      expect(Math.abs(a.best.score - b.best.score)).toBeLessThan(0.12)
    }
  })

  it('later sown is never sooner ready', () => {
    for (const way of ['under cover', 'direct'] as const) {
      const ready = planAt(KANSAS, 'cabbage-early')
        .weeks.filter((week) => week.way === way && week.readyChance === 1)
        .flatMap(({ readyFrom }) => readyFrom ?? [])
      expect(ready).toEqual([...ready].sort())
    }
  })

  it('a warmer place is never later, nor more frosty, nor less hot', () => {
    const dates = fc.integer({ min: 0, max: 51 }).map((week) => addDays('2026-01-04', 7 * week))
    const plain = weigherAt(SURREY)
    const warm = weigherAt(warmer(SURREY, 2))
    fc.assert(
      fc.property(dates, (date) => {
        const cool: SowingWeek = plain('under cover', date)
        const hot: SowingWeek = warm('under cover', date)
        expect(hot.readyFrom! <= cool.readyFrom!).toBe(true)
        expect(hot.youngFrost).toBeLessThanOrEqual(cool.youngFrost)
      }),
      { numRuns: 20 },
    )
    const inSummer = (at: typeof plain): number => at('under cover', '2026-04-19').heat!.likely
    expect(inSummer(warm)).toBeGreaterThanOrEqual(inSummer(plain))
  })

  it('chances are chances', () => {
    const isChance = (value: number): boolean => value >= 0 && value <= 1
    const plan: YearPlan = planAt(KANSAS, 'cabbage-mid')
    for (const week of plan.weeks) {
      const pairs = [week.heat, week.coldBolting, week.heatBolting].filter((one) => one !== null)
      for (const { watch, likely } of pairs) {
        expect(isChance(watch) && isChance(likely)).toBe(true)
        expect(likely).toBeLessThanOrEqual(watch)
      }
      expect([week.readyChance, week.youngFrost, week.killingFrost, week.score].every(isChance)).toBe(true)
    }
  })
})
