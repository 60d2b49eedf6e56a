import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { outlookAfterExpected } from '../../../hub/core/forecast/expected-day.js'
import { type LocalForecastState, newLocalForecast } from '../../../hub/core/forecast/local-forecast.js'
import { type MeasuredDay, withDay, withDays } from '../../../hub/core/forecast/local-learning.js'
import { outlook } from '../../../hub/core/forecast/local-outlook.js'
import { chanceAbove, interval80 } from '../../../hub/core/forecast/normal-odds.js'
import { addDays } from '../../../shared/local-time.js'
import { INLAND, madeDays, madeUsualC } from './support/made-weather.js'

const place = { latitudeDeg: 50, longitudeDeg: 10, elevationM: 100 }
const start = (): LocalForecastState => newLocalForecast(place)
const day = (date: string, minC: number, maxC: number): MeasuredDay => ({ date, minC, maxC, eveningC: null })
const width = (odds: Parameters<typeof interval80>[0]): number => {
  const { lowC, highC } = interval80(odds)
  return highC - lowC
}

describe('the local forecast', () => {
  it('speaks before the first day, of the season alone and with a wide band', () => {
    const summer = outlook(start(), '2027-07-14')
    const winter = outlook(start(), '2027-01-14')
    expect(summer.days.map(({ date, leadDays }) => [date, leadDays])).toEqual([
      ['2027-07-15', 1],
      ['2027-07-16', 2],
      ['2027-07-17', 3],
    ])
    expect(summer.missedDays).toBeNull()
    expect(summer.days[0]!.maxC.meanC).toBeGreaterThan(winter.days[0]!.maxC.meanC + 10)
    for (const one of summer.days) {
      expect(width(one.maxC)).toBeGreaterThan(12)
      expect(one.maxC.meanC).toBeCloseTo(one.usualMaxC.meanC, 6)
    }
  })

  it('after one warm day expects tomorrow warmer than usual, less so each day, and is surer than before', () => {
    const before = outlook(start(), '2027-07-14')
    const usualC = before.days[0]!.maxC.meanC
    const after = outlook(withDay(start(), day('2027-07-14', 18, usualC + 8)), '2027-07-14')
    const above = after.days.map((one) => one.maxC.meanC - one.usualMaxC.meanC)
    expect(above[0]).toBeGreaterThan(1)
    expect(above[1]).toBeGreaterThan(0.5)
    expect(above[0]).toBeGreaterThan(above[1]!)
    expect(above[1]).toBeGreaterThan(above[2]!)
    expect(width(after.days[0]!.maxC)).toBeLessThan(width(before.days[0]!.maxC))
    expect(width(after.days[0]!.maxC)).toBeLessThan(width(after.days[2]!.maxC))
  })

  it('rests on typed-in monthly normals where the grower has them', () => {
    const minC = [12, 12, 13, 14, 16, 18, 20, 21, 20, 18, 15, 13]
    const maxC = minC.map((valueC) => valueC + 7)
    const known = outlook(newLocalForecast(place, { minC, maxC }), '2027-08-14')
    expect(Math.abs(known.days[0]!.maxC.meanC - 28)).toBeLessThan(1)
    expect(width(known.days[0]!.maxC)).toBeLessThan(width(outlook(start(), '2027-08-14').days[0]!.maxC))
  })

  it('fed day by day, through storage between, equals fed all at once', () => {
    const days = madeDays(INLAND, 200, 5).filter((_, i) => i % 17 !== 3)
    let stepwise = start()
    for (const one of days) {
      stepwise = JSON.parse(JSON.stringify(withDay(stepwise, one))) as LocalForecastState
    }
    expect(stepwise).toEqual(withDays(start(), days))
  })

  it('never changes a state it was given', () => {
    const state = withDays(start(), madeDays(INLAND, 30, 5))
    const copy = structuredClone(state)
    withDay(state, day('2020-02-20', -3, 9))
    outlook(state, '2020-03-10')
    expect(state).toEqual(copy)
  })

  it('owes nothing to later days: other futures leave every past forecast as it was', () => {
    const temperature = fc.double({ min: -25, max: 40, noNaN: true })
    const future = fc.array(fc.tuple(temperature, temperature), { minLength: 1, maxLength: 12 })
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 60 }),
        fc.integer({ min: 1, max: 999 }),
        future,
        (cut, seed, other) => {
          const days = madeDays(INLAND, 60, seed)
          const changed = [
            ...days.slice(0, cut),
            ...other.map(([a, b], i) => day(addDays('2020-01-01', cut + i), Math.min(a, b), Math.max(a, b))),
          ]
          const forecasts = (list: readonly MeasuredDay[]) => {
            let state = start()
            return list.map((one) => {
              state = withDay(state, one)
              return outlook(state, one.date)
            })
          }
          expect(forecasts(changed).slice(0, cut)).toEqual(forecasts(days).slice(0, cut))
        },
      ),
      { numRuns: 25 },
    )
  })

  it('grows wider day by day without readings, until it is the season again', () => {
    const state = withDays(start(), madeDays(INLAND, 500, 8))
    const last = addDays('2020-01-01', 499)
    const widths = [0, 1, 2, 3, 30].map((gap) => width(outlook(state, addDays(last, gap)).days[0]!.maxC))
    for (const gap of [1, 2, 3]) expect(widths[gap]).toBeGreaterThan(widths[gap - 1]!)
    expect(widths[4]).toBeGreaterThan(1.2 * widths[0]!)
    const stale = outlook(state, addDays(last, 30))
    expect(stale.missedDays).toBe(30)
    expect(Math.abs(stale.days[2]!.maxC.meanC - stale.days[2]!.usualMaxC.meanC)).toBeLessThan(0.2)
  })

  it('takes up again after a year without readings as quickly as after a month', () => {
    const state = withDays(start(), madeDays(INLAND, 400, 8))
    const late = withDay(state, day('2023-06-01', 12, 24))
    expect(late.measuredDays).toBe(401)
    expect(late.missedDays).toBe(0)
    expect(Number.isFinite(outlook(late, '2023-06-01').days[2]!.minC.meanC)).toBe(true)
  })

  it.each([
    ['a maximum below the minimum', day('2027-07-15', 20, 10), /20 °C and maximum 10/],
    ['a figure that is none', day('2027-07-15', Number.NaN, 10), /NaN/],
    ['the same day twice', day('2027-07-14', 10, 20), /not after the last day/],
    ['an earlier day', day('2027-07-13', 10, 20), /not after the last day/],
    ['a date that is none', day('2027-02-30', 10, 20), /2027-02-30/],
    ['an evening that is none', { ...day('2027-07-15', 10, 20), eveningC: Number.NaN }, /unmeasured is null/],
  ])('refuses %s', (_, wrong, message) => {
    const state = withDay(start(), day('2027-07-14', 11, 21))
    expect(() => withDay(state, wrong)).toThrow(message)
  })

  it('refuses to forecast from a day before its newest', () => {
    const state = withDay(start(), day('2027-07-14', 11, 21))
    expect(() => outlook(state, '2027-07-13')).toThrow(RangeError)
    expect(() =>
      outlookAfterExpected(state, '2027-07-14', {
        minC: 1,
        maxC: 2,
        eveningC: 1,
        minSdC: 1,
        maxSdC: 1,
        eveningSdC: 1,
        eveningIsNear: 0,
      }),
    ).toThrow(RangeError)
  })
})

describe('the local forecast on six made years with a known law', () => {
  const days = madeDays(INLAND, 6 * 365, 42)
  let state = start()
  const outlooks = days.map((one) => {
    state = withDay(state, one)
    return outlook(state, one.date)
  })
  const from = 365

  it.each([1, 2, 3])('errs less than “as today” and “as usual”, %d days ahead', (lead) => {
    const sums = { forecast: 0, today: 0, usual: 0 }
    for (let i = from; i + lead < days.length; i++) {
      const truthC = days[i + lead]!.maxC
      sums.forecast += Math.abs(outlooks[i]!.days[lead - 1]!.maxC.meanC - truthC)
      sums.today += Math.abs(days[i]!.maxC - truthC)
      // the law itself, which no one could know: middle of the day and half the usual range
      sums.usual += Math.abs(madeUsualC(INLAND, i + lead) + 5 - truthC)
    }
    expect(sums.forecast).toBeLessThan(sums.today)
    expect(sums.forecast).toBeLessThan(sums.usual)
  })

  it.each([1, 2, 3])('holds the truth in 75 to 85 %% of its 80 %% intervals, %d days ahead', (lead) => {
    for (const of of ['maxC', 'minC'] as const) {
      let held = 0
      for (let i = from; i + lead < days.length; i++) {
        const { lowC, highC } = interval80(outlooks[i]!.days[lead - 1]![of])
        const truthC = days[i + lead]![of]
        if (truthC >= lowC && truthC <= highC) held++
      }
      const share = held / (days.length - from - lead)
      expect(share).toBeGreaterThan(0.75)
      expect(share).toBeLessThan(0.85)
    }
  })

  it('says a chance that comes true as often as it says', () => {
    const classes = Array.from({ length: 5 }, () => ({ said: 0, happened: 0, count: 0 }))
    for (let i = from; i + 1 < days.length; i++) {
      const chance = chanceAbove(outlooks[i]!.days[0]!.maxC, 24)
      const at = classes[Math.min(Math.floor(chance * 5), 4)]!
      at.said += chance
      at.happened += days[i + 1]!.maxC > 24 ? 1 : 0
      at.count++
    }
    for (const { said, happened, count } of classes) {
      expect(count).toBeGreaterThan(20)
      // three standard deviations of a share
      const share = said / count
      expect(Math.abs(happened / count - share)).toBeLessThan(
        3 * Math.sqrt((share * (1 - share)) / count) + 0.02,
      )
    }
  })
})
