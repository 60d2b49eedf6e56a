import { describe, expect, test } from 'vitest'
import { coldDose } from '../../../hub/core/crops/cold-bolting.js'
import { heatBoltingDose } from '../../../hub/core/crops/heat-bolting.js'
import { heatDose } from '../../../hub/core/crops/heat-dose.js'
import { CROPS } from '../../../hub/core/crops/library.js'
import { dayOptionsFor, plantDays } from '../../../hub/core/crops/plant-days.js'
import { stageOf } from '../../../hub/core/crops/stages.js'
import { computeDayRecord } from '../../../hub/core/days/day-record.js'
import { NO_READINGS, type ReadingColumns } from '../../../hub/core/readings.js'
import { daySun } from '../../../hub/core/sun/day-sun.js'
import { sunTimes } from '../../../hub/core/sun/sun-times.js'
import type { DayRecord } from '../../../shared/api/measurements.js'
import { localDay, localDays } from '../../../shared/local-time.js'

const ZONE = 'Europe/Copenhagen'
const PLACE = { latitudeDeg: 55.7, longitudeDeg: 12.5, elevationM: 20 }
const HOUR_MS = 3_600_000
const dayLengthHours = (date: string): number => sunTimes(localDay(date, ZONE), PLACE).daylightHours

/** Half-hourly air from spring to summer: means rise from 6 °C by 0.15 °C a day, swing 6 °C either way. */
function springRecords(cropId: string, from: string, to: string): DayRecord[] {
  const days = localDays(from, to, ZONE)
  const firstMs = days[0]!.startMs - HOUR_MS
  const n = (days.at(-1)!.endMs + HOUR_MS - firstMs) / (HOUR_MS / 2)
  const timeMs = Float64Array.from({ length: n }, (_, i) => firstMs + (i * HOUR_MS) / 2)
  const airTemp: ReadingColumns = {
    timeMs,
    value: timeMs.map((t) => {
      const daysIn = (t - firstMs) / (24 * HOUR_MS)
      return 6 + 0.15 * daysIn + 6 * Math.sin(((t / HOUR_MS - 7) / 24) * 2 * Math.PI)
    }),
    flags: new Uint16Array(n),
  }
  const readings = { airTemp, soilTemp: NO_READINGS, light: NO_READINGS, irradiance: NO_READINGS }
  const laterMs = days.at(-1)!.endMs + 24 * HOUR_MS
  return days.map((day) =>
    computeDayRecord(
      day,
      readings,
      daySun(day, readings, PLACE, laterMs),
      laterMs,
      dayOptionsFor(CROPS.get(cropId)!),
    ),
  )
}

describe('from readings to stages and doses', () => {
  test('an early cabbage planted out in April heads by midsummer and is warned of its cold spring', () => {
    const crop = CROPS.get('cabbage-early')!
    const { days, season } = plantDays(
      springRecords(crop.id, '2027-04-01', '2027-07-15'),
      false,
      dayLengthHours,
    )
    expect(season).toMatchObject({ openDays: 0, filledDays: 0, coverage: 1 })
    const dates = { sownOn: '2027-02-20', plantedOutOn: '2027-04-01', finishedOn: null }
    const stageOn = (date: string) => {
      const sumC = days.find((day) => day.date === date)!.degreeDaysC
      return stageOf(crop, sumC, dates)?.stage
    }
    expect(stageOn('2027-04-20')).toBe('leafing')
    expect(stageOn('2027-06-20')).toBe('heading')
    expect(coldDose(crop, 'planted-out', days)).toMatchObject({ level: 'watch', unknownDays: 0 })
    expect(heatDose(crop, 'planted-out', days)).toMatchObject({ level: 'none' })
  })

  test('spinach sown in May meets days that are too long for it', () => {
    const crop = CROPS.get('spinach')!
    const { days } = plantDays(springRecords(crop.id, '2027-04-01', '2027-07-20'), false, dayLengthHours)
    expect(days.find((day) => day.date === '2027-06-21')!.dayLengthHours).toBeGreaterThan(17)
    expect(heatBoltingDose(crop, 'sown', days)).toMatchObject({ level: 'likely' })
  })
})

test("heat hours are counted above the crop's own limit", () => {
  expect(dayOptionsFor(CROPS.get('lettuce-head')!).heatAboveC).toBe(26)
  expect(dayOptionsFor(CROPS.get('kale')!).heatAboveC).toBe(27)
})
