/**
 * Local calendar days against the rules of the IANA time zone database (files europe, australasia, asia, southamerica and
 * northamerica): days of 23 and 25 hours, half-hour shifts, a garden south of the equator, gardens east of +12:00, the two
 * sides of the date line, a midnight that does not exist, a date that was skipped. The rules are from memory, worked out to
 * UTC instants by hand.
 */
import { describe, expect, test } from 'vitest'
import { computeDayRecord, DEFAULT_DAY_OPTIONS } from '../../hub/core/days/day-record.js'
import { NO_READINGS, type ReadingColumns } from '../../hub/core/readings.js'
import { daySun } from '../../hub/core/sun/day-sun.js'
import type { DayRecord } from '../../shared/api/measurements.js'
import { isoWithOffset, localDate, localDay, localDays } from '../../shared/local-time.js'

const HOUR_MS = 3_600_000

/** [garden, zone, date, first instant in UTC, length in hours, why] */
const DAYS = [
  ['Copenhagen', 'Europe/Copenhagen', '2027-03-28', '2027-03-27T23:00:00Z', 23, 'clocks go forward'],
  ['Copenhagen', 'Europe/Copenhagen', '2027-10-31', '2027-10-30T22:00:00Z', 25, 'clocks go back'],
  ['Winters', 'America/Los_Angeles', '2008-03-09', '2008-03-09T08:00:00Z', 23, 'second Sunday of March'],
  ['Winters', 'America/Los_Angeles', '2008-11-02', '2008-11-02T07:00:00Z', 25, 'first Sunday of November'],
  ['Hobart', 'Australia/Hobart', '2027-10-03', '2027-10-02T14:00:00Z', 23, 'southern spring'],
  ['Hobart', 'Australia/Hobart', '2027-04-04', '2027-04-03T13:00:00Z', 25, 'southern autumn'],
  ['Lord Howe', 'Australia/Lord_Howe', '2027-10-03', '2027-10-02T13:30:00Z', 23.5, 'a shift of half an hour'],
  ['Auckland', 'Pacific/Auckland', '2027-09-26', '2027-09-25T12:00:00Z', 23, '+12:00 to +13:00'],
  ['Chatham', 'Pacific/Chatham', '2027-01-15', '2027-01-14T10:15:00Z', 24, '+13:45'],
  ['Kiritimati', 'Pacific/Kiritimati', '2027-06-10', '2027-06-09T10:00:00Z', 24, '+14:00, the farthest east'],
  [
    'Pago Pago',
    'Pacific/Pago_Pago',
    '2027-06-10',
    '2027-06-10T11:00:00Z',
    24,
    '−11:00, the same stretch of sea',
  ],
  ['Kathmandu', 'Asia/Kathmandu', '2027-06-10', '2027-06-09T18:15:00Z', 24, '+05:45'],
  ['Santiago', 'America/Santiago', '2027-09-05', '2027-09-05T04:00:00Z', 23, 'midnight itself is skipped'],
  ['Tromsø', 'Europe/Oslo', '2027-06-21', '2027-06-20T22:00:00Z', 24, 'above the polar circle'],
] as const

describe('a local day', () => {
  for (const [garden, zone, date, startsAt, hours, why] of DAYS) {
    test(`${date} in ${garden} starts at ${startsAt} and has ${hours} hours (${why})`, () => {
      const day = localDay(date, zone)
      expect(new Date(day.startMs).toISOString()).toBe(startsAt.replace('Z', '.000Z'))
      expect((day.endMs - day.startMs) / HOUR_MS).toBe(hours)
      expect(localDate(day.startMs, zone)).toBe(date)
      expect(localDate(day.endMs - 1, zone)).toBe(date)
      expect(localDate(day.startMs - 1, zone)).not.toBe(date)
      expect(localDate(day.endMs, zone)).not.toBe(date)
    })
  }

  test('follows the one before it without a gap, through a year of every zone above', () => {
    for (const zone of new Set(DAYS.map(([, name]) => name))) {
      const days = localDays('2027-01-01', '2027-12-31', zone)
      expect(days).toHaveLength(365)
      for (const [i, day] of days.entries()) {
        if (i > 0) expect(day.startMs, `${day.date} in ${zone}`).toBe(days[i - 1]!.endMs)
        expect(day.endMs, `${day.date} in ${zone}`).toBeGreaterThan(day.startMs)
      }
    }
  })

  test('that a zone skipped has no length (Samoa crossed the date line at the end of 29 December 2011)', () => {
    const skipped = localDay('2011-12-30', 'Pacific/Apia')
    expect(skipped.endMs - skipped.startMs).toBe(0)
    expect(localDay('2011-12-31', 'Pacific/Apia').startMs).toBe(Date.UTC(2011, 11, 30, 10))
  })

  test('writes its instants with the offset of that hour', () => {
    const { startMs, endMs } = localDay('2027-03-28', 'Europe/Copenhagen')
    expect(isoWithOffset(startMs, 'Europe/Copenhagen')).toBe('2027-03-28T00:00:00+01:00')
    expect(isoWithOffset(endMs, 'Europe/Copenhagen')).toBe('2027-03-29T00:00:00+02:00')
    expect(isoWithOffset(Date.UTC(2027, 0, 15), 'Pacific/Chatham')).toBe('2027-01-15T13:45:00+13:45')
  })
})

describe('a day record', () => {
  const stepMs = HOUR_MS / 4
  /** Warmer by one degree every hour from the local midnight on, from 0 °C. */
  function recordOf(zone: string, date: string, latitudeDeg: number, longitudeDeg: number): DayRecord {
    const day = localDay(date, zone)
    const n = (day.endMs - day.startMs) / stepMs + 8
    const timeMs = Float64Array.from({ length: n }, (_, i) => day.startMs + (i - 4) * stepMs)
    const airTemp: ReadingColumns = {
      timeMs,
      value: timeMs.map((t) => (t - day.startMs) / HOUR_MS),
      flags: new Uint16Array(n),
    }
    const readings = { airTemp, soilTemp: NO_READINGS, light: NO_READINGS, irradiance: NO_READINGS }
    const place = { latitudeDeg, longitudeDeg, elevationM: 0 }
    const laterMs = day.endMs + HOUR_MS
    return computeDayRecord(
      day,
      readings,
      daySun(day, readings, place, laterMs),
      laterMs,
      DEFAULT_DAY_OPTIONS,
    )
  }

  test.each([
    ['Copenhagen on a day of 23 hours', 'Europe/Copenhagen', '2027-03-28', 55.7, 12.6, 23],
    ['Copenhagen on a day of 25 hours', 'Europe/Copenhagen', '2027-10-31', 55.7, 12.6, 25],
    ['Hobart in its summer', 'Australia/Hobart', '2027-12-21', -42.9, 147.3, 24],
    ['Chatham, east of +12:00', 'Pacific/Chatham', '2027-01-15', -44, -176.5, 24],
    ['Kiritimati, +14:00', 'Pacific/Kiritimati', '2027-06-10', 1.9, -157.4, 24],
    ['Tromsø at midsummer', 'Europe/Oslo', '2027-06-21', 69.65, 18.96, 24],
  ])(
    'of %s takes the readings of that calendar day, all of them and no others',
    (_name, zone, date, lat, lon, hours) => {
      const record = recordOf(zone, date, lat, lon)
      expect(record.date).toBe(date)
      expect(record.airTempMinC).toBe(0)
      expect(record.airTempMaxC).toBe(hours - 0.25)
      expect(record.airCoverage).toBe(1)
      expect(record.chillHours).toBeCloseTo(10.25, 10)
      expect(record.provisional).toBe(false)
    },
  )

  test('above the polar circle has a day without sunset in June and none at all in December', () => {
    expect(recordOf('Europe/Oslo', '2027-06-21', 69.65, 18.96).possibleSunHours).toBeGreaterThan(20)
    expect(recordOf('Europe/Oslo', '2027-12-21', 69.65, 18.96).possibleSunHours).toBe(0)
  })

  test('south of the equator has its long days in December', () => {
    const december = recordOf('Australia/Hobart', '2027-12-21', -42.9, 147.3).possibleSunHours
    const june = recordOf('Australia/Hobart', '2027-06-21', -42.9, 147.3).possibleSunHours
    expect(december).toBeGreaterThan(june + 5)
  })
})
