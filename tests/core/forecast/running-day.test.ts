import { describe, expect, it } from 'vitest'
import { newDayShape } from '../../../hub/core/forecast/day-shape.js'
import { newLocalForecast } from '../../../hub/core/forecast/local-forecast.js'
import { withDays } from '../../../hub/core/forecast/local-learning.js'
import { outlook } from '../../../hub/core/forecast/local-outlook.js'
import { chanceAbove, interval80 } from '../../../hub/core/forecast/normal-odds.js'
import { outlookDuring } from '../../../hub/core/forecast/running-day.js'
import { INLAND, madeDays } from './support/made-weather.js'

const place = { latitudeDeg: 50, longitudeDeg: 10, elevationM: 100 }
const timeZone = 'Etc/GMT-1'
const state = withDays(newLocalForecast(place), madeDays(INLAND, 560, 3))
const date = '2021-07-14'
const yesterday = outlook(state, '2021-07-13')
const around = { shape: newDayShape(), maxBeforeC: 25, place, timeZone }
const during = (hour: number, airTempC: number, minSoFarC: number, maxSoFarC: number) =>
  outlookDuring(
    state,
    {
      date,
      minSoFarC,
      maxSoFarC,
      newest: { timeMs: Date.parse(`${date}T00:00:00+01:00`) + hour * 3_600_000, airTempC },
    },
    around,
  )
const width = (odds: Parameters<typeof interval80>[0]): number =>
  interval80(odds).highC - interval80(odds).lowC

describe('the forecast while a day runs', () => {
  const usualC = yesterday.days[0]!.maxC.meanC

  it('gives today and the three days after', () => {
    const now = during(8, 18, 12, 18)
    expect(now.days.map((one) => [one.date, one.leadDays])).toEqual([
      ['2021-07-14', 0],
      ['2021-07-15', 1],
      ['2021-07-16', 2],
      ['2021-07-17', 3],
    ])
    expect(now.maxLinks).toHaveLength(3)
  })

  it('is never below what today has reached nor above how cold it was', () => {
    const [today] = during(13, 29, 9, 31).days
    expect(interval80(today!.maxC).lowC).toBeGreaterThanOrEqual(31)
    expect(chanceAbove(today!.maxC, 30.5)).toBe(1)
    expect(interval80(today!.minC).highC).toBeLessThanOrEqual(9)
  })

  it('makes more of a warm noon than of a warm early morning, for today and tomorrow', () => {
    const warm = (hour: number) => during(hour, usualC + 4, 10, usualC + 4)
    const cool = (hour: number) => during(hour, usualC - 8, 10, usualC - 8)
    const byToday = (hour: number) => warm(hour).days[0]!.maxC.meanC - cool(hour).days[0]!.maxC.meanC
    const byTomorrow = (hour: number) => warm(hour).days[1]!.maxC.meanC - cool(hour).days[1]!.maxC.meanC
    expect(byToday(13)).toBeGreaterThan(byToday(6))
    expect(byToday(6)).toBeGreaterThan(0)
    expect(byTomorrow(13)).toBeGreaterThan(byTomorrow(6))
  })

  it('narrows as the day goes on', () => {
    const widths = [1, 8, 12, 15, 19].map((hour) => width(during(hour, 20, 12, 24).days[0]!.maxC))
    for (const [i, one] of widths.entries()) if (i > 0) expect(one).toBeLessThan(widths[i - 1]! + 1e-9)
    expect(widths.at(-1)).toBeLessThan(0.2 * widths[0]!)
    expect(width(during(8, 20, 12, 24).days[1]!.maxC)).toBeGreaterThan(
      width(during(22, 20, 12, 24).days[1]!.maxC),
    )
  })

  it('refuses a reading of another day and a day the state already knows', () => {
    expect(() => during(30, 20, 12, 24)).toThrow(/outside that day/)
    expect(() =>
      outlookDuring(
        state,
        {
          date: '2021-07-13',
          minSoFarC: 10,
          maxSoFarC: 20,
          newest: { timeMs: Date.parse('2021-07-13T10:00:00+01:00'), airTempC: 19 },
        },
        around,
      ),
    ).toThrow(RangeError)
  })
})
