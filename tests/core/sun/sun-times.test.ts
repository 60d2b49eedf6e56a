import { describe, expect, it } from 'vitest'
import type { Place } from '../../../hub/core/readings.js'
import { sunTimes, sunUpSpans } from '../../../hub/core/sun/sun-times.js'
import { addDays, localDay, localDays } from '../../../shared/local-time.js'

const HOUR_MS = 3_600_000
const at = (latitudeDeg: number, longitudeDeg: number): Place => ({
  latitudeDeg,
  longitudeDeg,
  elevationM: 0,
})

const COPENHAGEN = at(55.68, 12.57)
const TROMSO = at(69.65, 18.96)
const KIRITIMATI = at(1.87, -157.4)
const APIA = at(-13.83, -171.76)
const ADAK = at(51.88, -176.65)
const HOBART = at(-42.88, 147.33)

describe('sun times of a local day', () => {
  it('put sunrise, noon and sunset in order inside the day, everywhere between the polar circles', () => {
    for (const [place, timeZone] of [
      [COPENHAGEN, 'Europe/Copenhagen'],
      [HOBART, 'Australia/Hobart'],
      [KIRITIMATI, 'Pacific/Kiritimati'], // UTC+14
      [APIA, 'Pacific/Apia'], // UTC+13, west longitude
      [ADAK, 'America/Adak'],
      [at(39.47, 75.99), 'Asia/Shanghai'], // noon near 15:00
    ] as const) {
      for (const day of localDays('2026-01-01', '2026-12-31', timeZone)) {
        const { sunriseMs, sunsetMs, solarNoonMs, daylightHours } = sunTimes(day, place)
        expect(sunriseMs).toBeGreaterThanOrEqual(day.startMs)
        expect(solarNoonMs).toBeGreaterThan(sunriseMs!)
        expect(sunsetMs).toBeGreaterThan(solarNoonMs)
        expect(sunsetMs).toBeLessThanOrEqual(day.endMs)
        expect(daylightHours).toBeCloseTo((sunsetMs! - sunriseMs!) / HOUR_MS, 6)
      }
    }
  })

  it('are those of the date on which they fall, east of +12:00 too', () => {
    const { sunriseMs } = sunTimes(localDay('2026-06-21', 'Pacific/Kiritimati'), KIRITIMATI)
    const local = new Date(sunriseMs! + 14 * HOUR_MS).toISOString()
    expect(local.slice(0, 13)).toBe('2026-06-21T06')
  })

  it('have long days in December south of the equator', () => {
    const december = sunTimes(localDay('2026-12-21', 'Australia/Hobart'), HOBART)
    const june = sunTimes(localDay('2026-06-21', 'Australia/Hobart'), HOBART)
    expect(december.daylightHours).toBeGreaterThan(15)
    expect(june.daylightHours).toBeLessThan(9.2)
  })

  it('know neither sunrise nor sunset in polar day and polar night', () => {
    const summer = sunTimes(localDay('2026-06-21', 'Europe/Oslo'), TROMSO)
    expect(summer.sunriseMs).toBeNull()
    expect(summer.sunsetMs).toBeNull()
    expect(summer.daylightHours).toBeCloseTo(24, 6)
    const winter = sunTimes(localDay('2026-12-21', 'Europe/Oslo'), TROMSO)
    expect(winter.sunriseMs).toBeNull()
    expect(winter.daylightHours).toBe(0)
  })

  it('count the sun after midnight where it sets late', () => {
    // a few days before the polar day begins the sun sets after local midnight
    for (let date = '2026-05-01'; date < '2026-05-25'; date = addDays(date, 1)) {
      const day = localDay(date, 'Europe/Oslo')
      const { daylightHours } = sunTimes(day, TROMSO)
      expect(daylightHours).toBeGreaterThan(17)
      expect(daylightHours).toBeLessThanOrEqual((day.endMs - day.startMs) / HOUR_MS + 1e-9)
    }
  })

  it('fill a 23-hour and a 25-hour day of polar summer, no more and no less', () => {
    // Antarctic summer with a zone that changes its clocks
    const pole = at(-77.85, 166.67)
    const short = sunTimes(localDay('2026-09-27', 'Antarctica/McMurdo'), pole)
    expect(short.daylightHours).toBeLessThanOrEqual(23)
    for (const day of localDays('2026-10-30', '2026-11-05', 'Antarctica/McMurdo')) {
      expect(sunTimes(day, pole).daylightHours).toBeCloseTo((day.endMs - day.startMs) / HOUR_MS, 6)
    }
  })

  it('add up to the same daylight however the days are cut', () => {
    const days = localDays('2026-03-25', '2026-04-02', 'Europe/Copenhagen')
    const whole = sunUpSpans(days[0]!.startMs, days.at(-1)!.endMs, COPENHAGEN)
    const wholeHours = whole.reduce((sum, span) => sum + span.toMs - span.fromMs, 0) / HOUR_MS
    const sum = days.reduce((hours, day) => hours + sunTimes(day, COPENHAGEN).daylightHours, 0)
    expect(sum).toBeCloseTo(wholeHours, 3)
    expect(whole).toHaveLength(days.length)
  })
})
