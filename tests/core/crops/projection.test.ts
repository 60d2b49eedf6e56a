import { describe, expect, test } from 'vitest'
import { projectStages, yearsFrom } from '../../../hub/core/crops/projection.js'
import type { StageMark } from '../../../hub/core/crops/stages.js'
import { dailyDegreeDays } from '../../../hub/core/heat/degree-days.js'
import type { WarmthDay } from '../../../hub/core/heat/season-degree-days.js'
import { addDays, daysBetween } from '../../../shared/local-time.js'
import { hasReferenceData, loadTruth, skipNote } from '../../support/reference-data.js'

const mark = (stage: StageMark['stage'], degreeDaysC: number): StageMark => ({
  stage,
  name: stage,
  bbch: '',
  degreeDaysC,
})
const MARKS = [mark('leafing', 0), mark('heading', 100), mark('ready', 200)]
const steady = (perDay: number, n = 60): Float64Array => new Float64Array(n).fill(perDay)

describe('from past years', () => {
  test('dates are the mean of the years, and stages behind are left out', () => {
    const projected = projectStages(MARKS, 100, '2027-05-10', [steady(9), steady(10), steady(11)], [])
    expect(projected.map((p) => p.stage)).toEqual(['ready'])
    expect(projected[0]).toMatchObject({ expectedOn: '2027-05-21', years: 3 })
    expect(projected[0]!.earliestOn! < projected[0]!.expectedOn!).toBe(true)
    expect(projected[0]!.latestOn! > projected[0]!.expectedOn!).toBe(true)
  })

  test('the interval narrows as less is left to come', () => {
    const years = [steady(7), steady(10), steady(14), steady(9)]
    const width = (doneC: number): number => {
      const ready = projectStages(MARKS, doneC, '2027-05-10', years, []).at(-1)!
      return daysBetween(ready.earliestOn!, ready.latestOn!)
    }
    expect(width(150)).toBeLessThan(width(100))
    expect(width(100)).toBeLessThan(width(0))
  })

  test('two years give a date and no interval', () => {
    const [ready] = projectStages(MARKS, 150, '2027-05-10', [steady(9), steady(11)], [])
    expect(ready).toMatchObject({ expectedOn: '2027-05-16', earliestOn: null, latestOn: null, years: 2 })
  })

  test('a stage that most years never reached is not promised', () => {
    const [ready] = projectStages(MARKS, 150, '2027-10-10', [steady(10), steady(0.1), steady(0.1)], [])
    expect(ready).toMatchObject({ expectedOn: null, earliestOn: null })
  })
})

describe('without past years', () => {
  test('the pace of the last days goes on, without an interval', () => {
    expect(projectStages(MARKS, 150, '2027-05-10', [], [9, 10, 11])[0]).toEqual({
      stage: 'ready',
      expectedOn: '2027-05-15',
      earliestOn: null,
      latestOn: null,
      years: 0,
    })
  })

  test('in the cold, or without readings, nothing is promised', () => {
    expect(projectStages(MARKS, 150, '2027-12-10', [], [0.2, 0])[0]!.expectedOn).toBeNull()
    expect(projectStages(MARKS, 150, '2027-05-10', [], [])[0]!.expectedOn).toBeNull()
  })
})

describe('past years', () => {
  const days = (from: string, n: number, skip: readonly string[] = []): WarmthDay[] =>
    Array.from({ length: n }, (_, i) => addDays(from, i))
      .filter((date) => !skip.includes(date))
      .map((date) => ({ date, degreeDaysC: Number(date.slice(0, 4)) - 2000, airCoverage: 1 }))

  test('start the day after the same date, one sequence a year', () => {
    const futures = yearsFrom(days('2024-01-01', 1200), '2027-05-10', 30)
    expect(futures.map((f) => [f.length, f[0], f[29]])).toEqual([
      [30, 24, 24],
      [30, 25, 25],
      [30, 26, 26],
    ])
  })

  test('with a short hole are filled, with a long one left out', () => {
    const shortHole = ['2025-05-15', '2025-05-16']
    const longHole = Array.from({ length: 6 }, (_, i) => addDays('2026-05-15', i))
    const futures = yearsFrom(days('2024-01-01', 1200, [...shortHole, ...longHole]), '2027-05-10', 30)
    expect(futures.map((f) => f[5])).toEqual([24, 25])
  })

  test('that do not run on for the whole horizon are left out, as is the present one', () => {
    expect(yearsFrom(days('2026-05-20', 400), '2027-05-10', 30)).toEqual([])
    expect(yearsFrom([], '2027-05-10', 30)).toEqual([])
  })

  test('follow the last of February from the 28th where there is no 29th', () => {
    expect(yearsFrom(days('2026-01-01', 700), '2028-02-29', 10)).toHaveLength(2)
  })
})

describe.skipIf(!hasReferenceData)(`on fifteen measured years${skipNote}`, () => {
  test('the 80 % interval holds the day about as often as it says, each year seen from its past alone', async () => {
    const table = await loadTruth('uscrn-manhattan-daily/uscrn-manhattan-2003-2017.dd.truth.csv')
    const days: WarmthDay[] = table.map((row) => ({
      date: row.date!,
      degreeDaysC:
        row.tmin_c && row.tmax_c
          ? dailyDegreeDays('sine', Number(row.tmin_c), Number(row.tmax_c), null, {
              baseC: 4.4,
              upperC: 26.7,
              cutoff: 'horizontal',
            })
          : null,
      airCoverage: row.tmin_c && row.tmax_c ? 1 : 0,
    }))
    const byDate = new Map(days.map((day) => [day.date, day]))
    let held = 0
    let asked = 0
    const widths: Record<number, number[]> = { 0: [], 20: [], 40: [] }
    const hits: Record<number, number> = { 0: 0, 20: 0, 40: 0 }
    for (let year = 2008; year <= 2016; year++) {
      for (const start of ['03-25', '04-10', '04-25', '08-01', '08-15']) {
        for (const seenAfterDays of [0, 20, 40]) {
          const today = addDays(`${year}-${start}`, seenAfterDays)
          const sumTo = (date: string): number => {
            let sum = 0
            for (let d = `${year}-${start}`; d <= date; d = addDays(d, 1))
              sum += byDate.get(d)?.degreeDaysC ?? 0
            return sum
          }
          const doneC = seenAfterDays === 0 ? 0 : sumTo(today)
          const past = days.filter((day) => day.date <= today)
          const [ready] = projectStages([mark('ready', 819)], doneC, today, yearsFrom(past, today, 120), [])
          if (!ready?.earliestOn || !ready.latestOn) continue
          let truth = today
          for (let sum = doneC; sum < 819; ) {
            truth = addDays(truth, 1)
            sum += byDate.get(truth)?.degreeDaysC ?? 0
          }
          asked++
          if (ready.earliestOn <= truth && truth <= ready.latestOn) {
            held++
            hits[seenAfterDays]!++
          }
          widths[seenAfterDays]!.push(daysBetween(ready.earliestOn, ready.latestOn))
        }
      }
    }
    const meanWidth = (after: number): number =>
      widths[after]!.reduce((sum, width) => sum + width, 0) / widths[after]!.length
    console.log(
      `stage dates at Manhattan, Kansas, 2008 to 2016: 80 % interval held ${held} of ${asked} (${Math.round((100 * held) / asked)} %); mean width ${[0, 20, 40].map((after) => `${meanWidth(after).toFixed(1)} days after ${after} days (held ${hits[after]} of ${widths[after]!.length})`).join(', ')}`,
    )
    expect(asked).toBeGreaterThan(80)
    expect(held / asked).toBeGreaterThanOrEqual(0.75)
    expect(held / asked).toBeLessThanOrEqual(0.85)
    expect(meanWidth(40)).toBeLessThan(meanWidth(0))
  })
})
