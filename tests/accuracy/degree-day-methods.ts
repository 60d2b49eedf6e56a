/**
 * How far each published daily method is from the integral over the readings, on whole seasons of measured temperature
 * (Tharandt 1998 half-hourly, Winters 2008 hourly, Lyngby in three months of minutes). °C, 4.4 to 26.7, horizontal cut-off.
 */
import { dayTemperatures } from '../../hub/core/days/day-temperatures.js'
import {
  DAILY_METHODS,
  type DailyMethod,
  dailyDegreeDays,
  integralDegreeDays,
} from '../../hub/core/heat/degree-days.js'
import { dayOn, loadSubdaily, readingsOf, type SubdailyFile } from '../support/measured-readings.js'
import { hasReferenceData, loadTruth, skipNote } from '../support/reference-data.js'

const LIMITS = { baseC: 4.4, upperC: 26.7, cutoff: 'horizontal' } as const
const FAR_FUTURE_MS = Date.UTC(2100, 0)
const SEASONS: readonly [SubdailyFile, from: string, to: string][] = [
  ['tharandt-30min/tharandt-1998', '1998-04-01', '1998-10-31'],
  ['winters-hourly/winters-2008', '2008-03-04', '2008-11-10'],
  ['dtu-lyngby-1min/dtu_2016_05', '2016-05-02', '2016-05-30'],
  ['dtu-lyngby-1min/dtu_2017_06', '2017-06-02', '2017-06-29'],
  ['dtu-lyngby-1min/dtu_2018_08', '2018-08-02', '2018-08-30'],
]

/** A season's degree days by the integral, and how far from it each daily method comes out, in per cent of it. */
export interface MethodsBesideIntegral {
  readonly file: SubdailyFile
  readonly days: number
  readonly integralC: number
  readonly offPercent: ReadonlyMap<DailyMethod, number>
}

async function season(file: SubdailyFile, from: string, to: string): Promise<MethodsBesideIntegral> {
  const tidy = await loadSubdaily(file)
  const air = readingsOf(tidy, 'air_temp_c', 'air-temp')
  const rows = (await loadTruth(`${file}.truth.csv`)).filter(
    (row) => row.day_basis === 'standard' && row.date! >= from && row.date! <= to && row.complete === '1',
  )
  const days = rows.map((row) =>
    dayTemperatures('air-temp', air, dayOn('standard', row.date!, tidy), FAR_FUTURE_MS),
  )
  const integralC = days.reduce((sum, day) => sum + integralDegreeDays(day.valueC, day.weightsMs, LIMITS)!, 0)
  const offPercent = new Map(
    DAILY_METHODS.map((method) => {
      const sumC = days.reduce((sum, day, i) => {
        const nextMinC = days[i + 1]?.minC ?? day.minC
        return sum + dailyDegreeDays(method, day.minC!, day.maxC!, nextMinC, LIMITS)
      }, 0)
      return [method, 100 * (sumC / integralC - 1)]
    }),
  )
  return { file, days: days.length, integralC, offPercent }
}

export async function methodsBesideIntegral(): Promise<MethodsBesideIntegral[]> {
  const seasons: MethodsBesideIntegral[] = []
  for (const [file, from, to] of SEASONS) seasons.push(await season(file, from, to))
  return seasons
}

/** The whole table; a plain note where the measured records are absent. */
export async function degreeDayReport(): Promise<string> {
  if (!hasReferenceData) return `Degree days${skipNote}`
  const seasons = await methodsBesideIntegral()
  return [
    'Degree days of whole seasons: the integral over the readings, and how far each daily method is from it\n',
    `${'°C, 4.4 to 26.7, horizontal cut-off'.padEnd(38)}integral  ${DAILY_METHODS.join('  ')}`,
    ...seasons.map(({ file, days, integralC, offPercent }) => {
      const cells = DAILY_METHODS.map((method) =>
        `${offPercent.get(method)!.toFixed(1)} %`.padStart(method.length),
      )
      return `${`${file.split('/')[1]} (${days} days)`.padEnd(38)}${integralC.toFixed(1).padStart(8)}  ${cells.join('  ')}`
    }),
  ].join('\n')
}
