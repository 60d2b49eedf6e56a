/**
 * How far each published daily method is from the integral over the readings, on whole seasons of measured temperature
 * (Tharandt 1998 half-hourly, Winters 2008 hourly, Lyngby in three months of minutes). °C, 4.4 to 26.7, horizontal cut-off.
 * The
 * table is printed; held is what such comparisons find, that sine and triangle follow a season to within a few per cent.
 */
import { describe, expect, test } from 'vitest'
import { dayTemperatures } from '../../hub/core/days/day-temperatures.js'
import { DAILY_METHODS, dailyDegreeDays, integralDegreeDays } from '../../hub/core/heat/degree-days.js'
import { dayOn, loadSubdaily, readingsOf, type SubdailyFile } from '../support/measured-readings.js'
import { hasReferenceData, loadTruth, skipNote } from '../support/reference-data.js'

/** Reading months of minutes takes a while on a busy machine. */
const READING_TIMEOUT_MS = 120_000

const LIMITS = { baseC: 4.4, upperC: 26.7, cutoff: 'horizontal' } as const
const FAR_FUTURE_MS = Date.UTC(2100, 0)
const SEASONS: readonly [SubdailyFile, from: string, to: string][] = [
  ['tharandt-30min/tharandt-1998', '1998-04-01', '1998-10-31'],
  ['winters-hourly/winters-2008', '2008-03-04', '2008-11-10'],
  ['dtu-lyngby-1min/dtu_2016_05', '2016-05-02', '2016-05-30'],
  ['dtu-lyngby-1min/dtu_2017_06', '2017-06-02', '2017-06-29'],
  ['dtu-lyngby-1min/dtu_2018_08', '2018-08-02', '2018-08-30'],
]

describe.skipIf(!hasReferenceData)(`daily methods beside the integral${skipNote}`, () => {
  test(
    'over whole seasons',
    async () => {
      const table: string[] = [`season${' '.repeat(32)}integral  ${DAILY_METHODS.join('  ')}`]
      for (const [file, from, to] of SEASONS) {
        const tidy = await loadSubdaily(file)
        const air = readingsOf(tidy, 'air_temp_c', 'air-temp')
        const rows = (await loadTruth(`${file}.truth.csv`)).filter(
          (row) =>
            row.day_basis === 'standard' && row.date! >= from && row.date! <= to && row.complete === '1',
        )
        const days = rows.map((row) =>
          dayTemperatures('air-temp', air, dayOn('standard', row.date!, tidy), FAR_FUTURE_MS),
        )
        let integral = 0
        const sums = new Map(DAILY_METHODS.map((method) => [method, 0]))
        for (const [i, day] of days.entries()) {
          integral += integralDegreeDays(day.valueC, day.weightsMs, LIMITS)!
          const nextMinC = days[i + 1]?.minC ?? day.minC
          for (const method of DAILY_METHODS) {
            sums.set(
              method,
              sums.get(method)! + dailyDegreeDays(method, day.minC!, day.maxC!, nextMinC, LIMITS),
            )
          }
        }
        const off = (method: (typeof DAILY_METHODS)[number]): number =>
          100 * (sums.get(method)! / integral - 1)
        const cells = DAILY_METHODS.map((method) => `${off(method).toFixed(1)} %`.padStart(method.length))
        table.push(
          `${`${file.split('/')[1]} (${days.length} days)`.padEnd(38)}${integral.toFixed(1).padStart(8)}  ${cells.join('  ')}`,
        )
        for (const method of ['sine', 'double-sine', 'triangle', 'double-triangle'] as const) {
          expect(Math.abs(off(method)), `${method}, ${file}`).toBeLessThan(4)
        }
      }
      console.log(table.join('\n'))
    },
    READING_TIMEOUT_MS,
  )
})
