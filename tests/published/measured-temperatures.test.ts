/**
 * Day minima, maxima, means, degree days and hours above 27 °C of measured temperatures (Tharandt, Germany, half-hourly,
 * 1998; Winters, California, hourly, 2008; US-CRT, Ohio, half-hourly, 2011; Lyngby, Denmark, every minute, three months;
 * Valencia, Spain, quarter-hourly, 2012; Alamosa, Colorado, every minute), against truth tables made from the same files
 * by an independent program, on calendar days and on days of standard time. Printed to four decimals: tolerance half the
 * last digit.
 */
import { describe, expect, test } from 'vitest'
import { computeDayRecord, DEFAULT_DAY_OPTIONS } from '../../hub/core/days/day-record.js'
import { NO_READINGS } from '../../hub/core/readings.js'
import { daySun } from '../../hub/core/sun/day-sun.js'
import type { DayRecord } from '../../shared/api/measurements.js'
import {
  between,
  dayOn,
  loadSubdaily,
  placeOf,
  readingsOf,
  SUBDAILY_FILES,
} from '../support/measured-readings.js'
import { hasReferenceData, loadTruth, skipNote } from '../support/reference-data.js'

/** Reading months of minutes takes a while on a busy machine. */
const READING_TIMEOUT_MS = 120_000

const TOLERANCE = 0.000_051
const DAY_MS = 86_400_000
const FAR_FUTURE_MS = Date.UTC(2100, 0)

/** A day whose holes do not move the figures beyond the printed digit: none are missing. */
const isWhole = (row: Record<string, string>, count: string): boolean => row[count] === row.n_expected

describe.skipIf(!hasReferenceData)(`measured temperatures${skipNote}`, () => {
  for (const file of SUBDAILY_FILES.filter((name) => !name.includes('roof-lux'))) {
    test(
      `${file}: every whole day equals the truth table, and extremes on all days`,
      async () => {
        const tidy = await loadSubdaily(file)
        const truth = await loadTruth(`${file}.truth.csv`)
        const air = readingsOf(tidy, 'air_temp_c', 'air-temp')
        const soil = readingsOf(tidy, 'soil_temp_c', 'soil-temp')
        const wrong: string[] = []
        let whole = 0
        let withHoles = 0
        let largestHoleEffect = 0
        for (const row of truth) {
          const day = dayOn(row.day_basis!, row.date!, tidy)
          const around = { fromMs: day.startMs - DAY_MS, toMs: day.endMs + DAY_MS }
          const readings = {
            airTemp: between(air, around.fromMs, around.toMs),
            soilTemp: between(soil, around.fromMs, around.toMs),
            light: NO_READINGS,
            irradiance: NO_READINGS,
          }
          const sun = daySun(day, readings, placeOf(tidy), FAR_FUTURE_MS)
          const record = computeDayRecord(day, readings, sun, FAR_FUTURE_MS, DEFAULT_DAY_OPTIONS)
          const compare = (figure: keyof DayRecord, column: string): void => {
            if (row[column] === undefined || row[column] === '') return
            const computed = record[figure]
            const difference = Math.abs(Number(computed ?? Number.NaN) - Number(row[column]))
            if (!(difference <= TOLERANCE)) {
              wrong.push(`${row.day_basis} ${row.date} ${figure}: ${computed} not ${row[column]}`)
            }
          }
          compare('airTempMinC', 'tmin_c')
          compare('airTempMaxC', 'tmax_c')
          compare('soilTempMinC', 'soil_min_c')
          compare('soilTempMaxC', 'soil_max_c')
          if (isWhole(row, 'n_air')) {
            whole++
            compare('airTempMeanC', 'tmean_c')
            compare('degreeDaysC', 'dd_native')
            compare('heatHours', 'h_gt27')
          } else if (record.airCoverage >= 0.8 && row.dd_native) {
            withHoles++
            const effect = Math.abs(record.degreeDaysC! - Number(row.dd_native))
            largestHoleEffect = Math.max(largestHoleEffect, effect)
          }
          if (row.n_soil !== undefined && isWhole(row, 'n_soil')) compare('soilTempMeanC', 'soil_mean_c')
        }
        console.log(
          `${file}: ${whole} whole days; ${withHoles} more with holes but complete, degree days there within ${largestHoleEffect.toFixed(3)} of the mean of samples`,
        )
        expect(wrong).toEqual([])
        // the Alamosa file is one day of UTC, so no local day is whole
        expect(whole + withHoles).toBeGreaterThan(file.includes('surfrad') ? -1 : 10)
        // a reading beside a hole counts a little more than its neighbours, no more than this
        expect(largestHoleEffect).toBeLessThan(0.005)
      },
      READING_TIMEOUT_MS,
    )
  }
})
