/**
 * The R package degday (UCANR-IGIS, 0.4.0.9000), a separate implementation of Zalom et al. 1983: its output for Esparto,
 * California, 2020 (CIMIS station Esparto.A) in °F and for Seattle 2012 to 2015 (NOAA daily observations) in °C. Every
 * 26th and every 113th day is typed in here; all days run where the folder of measured reference weather is present.
 * Printed to four decimals: tolerance half the last digit, and 0.00001 for the edge of rounding.
 */
import { describe, expect, test } from 'vitest'
import { type DailyMethod, dailyDegreeDays, type Thresholds } from '../../hub/core/heat/degree-days.js'
import { hasReferenceData, loadTruth, skipNote } from '../support/reference-data.js'

const TOLERANCE = 0.00006

/** column of the reference tables → method; the simple average has no upper threshold there */
const COLUMNS: readonly [string, DailyMethod][] = [
  ['dd_sng_sine_hcut', 'sine'],
  ['dd_dbl_sine_hcut', 'double-sine'],
  ['dd_sng_tri_hcut', 'triangle'],
  ['dd_dbl_tri_hcut', 'double-triangle'],
  ['dd_simp_avg_m1', 'average'],
  ['dd_simp_avg_m2', 'clamped-average'],
]

interface Reference {
  readonly name: string
  readonly file: string
  readonly limits: Thresholds
  readonly days: number
  /** [minimum, maximum, next day's minimum, then one value a column of COLUMNS] */
  readonly rows: readonly (readonly number[])[]
}

const REFERENCES: readonly Reference[] = [
  {
    name: 'Esparto 2020, 40 and 80 °F',
    file: 'degday-reference/esparto-2020-F-40-80.truth.csv',
    limits: { baseC: 40, upperC: 80, cutoff: 'horizontal' },
    days: 366,
    rows: [
      [38, 55, 36, 6.7947, 6.5456, 6.6176, 6.2693, 6.5, 7.5],
      [50, 64, 49, 17, 16.75, 17, 16.75, 17, 17],
      [43, 76, 42, 19.5, 19.25, 19.5, 19.25, 19.5, 19.5],
      [36, 61, 35, 9.1905, 9.0701, 8.82, 8.6504, 8.5, 10.5],
      [51, 80, 43, 25.5, 23.5, 25.5, 23.5, 25.5, 25.5],
      [52, 82, 49, 26.7793, 26.0345, 26.9333, 26.1864, 27, 26],
      [58, 82, 58, 29.7529, 29.7529, 29.9167, 29.9167, 30, 29],
      [55, 92, 55, 30.4939, 30.4939, 31.5541, 31.5541, 33.5, 27.5],
      [61, 101, 59, 34.1258, 33.7207, 35.4875, 35.1188, 41, 30.5],
      [67, 97, 61, 36.1828, 34.9722, 37.1833, 36.0847, 42, 33.5],
      [52, 91, 60, 28.9433, 30.7751, 29.9487, 31.7486, 31.5, 26],
      [49, 90, 57, 27.3483, 29.2166, 28.2805, 30.1327, 29.5, 24.5],
      [48, 59, 35, 13.5, 10.7451, 13.5, 10.5104, 13.5, 13.5],
      [33, 69, 31, 12.3373, 12.122, 11.6806, 11.3732, 11, 14.5],
      [38, 54, 38, 6.304, 6.304, 6.125, 6.125, 6, 7],
    ],
  },
  {
    name: 'Esparto 2020, 50 and 86 °F',
    file: 'degday-reference/esparto-2020-F-50-86.truth.csv',
    limits: { baseC: 50, upperC: 86, cutoff: 'horizontal' },
    days: 366,
    rows: [
      [38, 55, 36, 1.1884, 1.1542, 0.7353, 0.6966, 0, 2.5],
      [50, 64, 49, 7, 6.8052, 7, 6.7667, 7, 7],
      [43, 76, 42, 10.8995, 10.7943, 10.2424, 10.0918, 9.5, 13],
      [36, 61, 35, 3.2576, 3.2223, 2.42, 2.3735, 0, 5.5],
      [51, 80, 43, 15.5, 14.1591, 15.5, 13.8311, 15.5, 15.5],
      [52, 82, 49, 17, 16.2871, 17, 16.2576, 17, 17],
      [58, 82, 58, 20, 20, 20, 20, 20, 20],
      [55, 92, 55, 22.457, 22.457, 23.0135, 23.0135, 23.5, 20.5],
      [61, 101, 59, 26.9338, 26.4873, 28.1875, 27.7545, 31, 23.5],
      [67, 97, 61, 29.0546, 27.693, 29.9833, 28.6514, 32, 26.5],
      [52, 91, 60, 20.73, 22.6816, 21.1795, 23.1381, 21.5, 19],
      [49, 90, 57, 19.0308, 20.9662, 19.3171, 21.2873, 19.5, 18],
      [48, 59, 35, 3.8689, 3.1543, 3.6818, 2.6847, 3.5, 4.5],
      [33, 69, 31, 6.2384, 6.1432, 5.0139, 4.8819, 1, 9.5],
      [38, 54, 38, 0.872, 0.872, 0.5, 0.5, 0, 2],
    ],
  },
  {
    name: 'Seattle 2012 to 2015, 4.4 and 26.7 °C',
    file: 'seattle-daily/seattle-degday-reference.truth.csv',
    limits: { baseC: 4.4, upperC: 26.7, cutoff: 'horizontal' },
    days: 1461,
    rows: [
      [2.8, 8.9, 2.2, 1.8078, 1.7563, 1.6598, 1.5855, 1.45, 2.25],
      [6.1, 13.3, 8.3, 5.3, 5.85, 5.3, 5.85, 5.3, 5.3],
      [14.4, 21.7, 15, 13.65, 13.8, 13.65, 13.8, 13.65, 13.65],
      [2.8, 6.7, 5.6, 0.8057, 1.2779, 0.6782, 1.2141, 0.35, 1.15],
      [8.3, 17.2, 8.9, 8.35, 8.5, 8.35, 8.5, 8.35, 8.35],
      [13.9, 31.1, 14.4, 17.1291, 17.2464, 17.5372, 17.6538, 18.1, 15.9],
      [10.6, 13.9, 6.1, 7.85, 6.725, 7.85, 6.725, 7.85, 7.85],
      [10, 13.3, 8.9, 7.25, 6.975, 7.25, 6.975, 7.25, 7.25],
      [13.9, 21.1, 13.3, 13.1, 12.95, 13.1, 12.95, 13.1, 13.1],
      [13.9, 19.4, 12.8, 12.25, 11.975, 12.25, 11.975, 12.25, 12.25],
      [8.3, 15, 8.3, 7.25, 7.25, 7.25, 7.25, 7.25, 7.25],
      [11.7, 16.1, 12.8, 9.5, 9.775, 9.5, 9.775, 9.5, 9.5],
      [7.8, 18.9, 8.3, 8.95, 9.075, 8.95, 9.075, 8.95, 8.95],
    ],
  },
]

const computedBy = (
  method: DailyMethod,
  min: number,
  max: number,
  nextMin: number,
  limits: Thresholds,
): number =>
  dailyDegreeDays(method, min, max, nextMin, method === 'average' ? { ...limits, cutoff: 'none' } : limits)

for (const { name, limits, rows } of REFERENCES) {
  describe(name, () => {
    for (const [i, [column, method]] of COLUMNS.entries()) {
      test(`${method} agrees with the package (${column}) on the days typed in`, () => {
        for (const [min, max, nextMin, ...printed] of rows) {
          const computed = computedBy(method, min!, max!, nextMin!, limits)
          expect(Math.abs(computed - printed[i]!), `${min} to ${max}, then ${nextMin}`).toBeLessThanOrEqual(
            TOLERANCE,
          )
        }
      })
    }
  })
}

describe.skipIf(!hasReferenceData)(`every day of the reference tables${skipNote}`, () => {
  for (const { name, file, limits, days } of REFERENCES) {
    test(`${name}: all six methods agree on all ${days} days`, async () => {
      const table = await loadTruth(file)
      expect(table).toHaveLength(days)
      const wrong: string[] = []
      for (const [i, row] of table.entries()) {
        // on the last day the package puts the day's own minimum in place of tomorrow's
        const nextMin = Number(table[i + 1]?.tmin ?? row.tmin)
        for (const [column, method] of COLUMNS) {
          const computed = computedBy(method, Number(row.tmin), Number(row.tmax), nextMin, limits)
          const printed = Number(row[column] || Number.NaN)
          if (!(Math.abs(computed - printed) <= TOLERANCE)) {
            wrong.push(`${row.date} ${method}: ${computed} not ${row[column]}`)
          }
        }
      }
      expect(wrong).toEqual([])
    })
  }
})
