/**
 * Sunrise, solar noon and sunset of four places, to the second, by the NREL web calculator of the solar position
 * algorithm (rows as printed in the tests of pvlib-python, tests/test_solarposition.py), and to the minute by the
 * US Naval Observatory (same place).
 * The calculator works on the universal day: west of Greenwich a summer sunset, past 0 h universal time, belongs to
 * the local day before. The rows below carry the local date on which the event falls.
 * Tolerance: 3 s for rows to the second (refraction and ΔT are conventions); half a minute, and those 3 s, for
 * rows to the minute.
 */
import { describe, expect, it } from 'vitest'
import type { Place } from '../../hub/core/readings.js'
import { sunTimes } from '../../hub/core/sun/sun-times.js'

const GOLDEN: Place = { latitudeDeg: 39.742476, longitudeDeg: -105.1786, elevationM: 0 }
const SOUTH: Place = { latitudeDeg: -35, longitudeDeg: 0, elevationM: 0 }
const EAST_OHIO: Place = { latitudeDeg: 40, longitudeDeg: -80, elevationM: 0 }

const SECONDS = 3
const MINUTES = 33

/** place, offset, date, rise, noon, set, tolerance in s */
const ROWS: readonly (readonly [
  string,
  Place,
  string,
  string,
  string | null,
  string | null,
  string | null,
  number,
])[] = [
  ['Golden CO, NREL', GOLDEN, '-07:00', '2015-01-02', '07:21:55', '12:04:45', '16:47:43', SECONDS],
  ['Golden CO, NREL', GOLDEN, '-07:00', '2015-08-02', '05:00:27', '12:06:58', null, SECONDS],
  ['Golden CO, NREL', GOLDEN, '-07:00', '2015-08-01', null, null, '19:13:58', SECONDS],
  ['Golden CO, NREL worked example', GOLDEN, '-07:00', '2003-10-17', '06:12:43', null, null, SECONDS],
  ['Golden CO, NREL worked example', GOLDEN, '-07:00', '2003-10-16', null, null, '17:20:19', SECONDS],
  ['35° S 0° E, NREL', SOUTH, '+00:00', '1996-07-05', '07:08:15', '12:04:36', '17:01:04', SECONDS],
  ['35° S 0° E, NREL', SOUTH, '+00:00', '2004-12-04', '04:38:57', '11:50:22', '19:02:03', SECONDS],
  ['40° N 80° W, NREL', EAST_OHIO, '-05:00', '2000-01-01', '07:41:51', '12:23:23', '17:05:04', SECONDS],
  ['Golden CO, USNO', GOLDEN, '-07:00', '2015-01-01', '07:22:00', '12:04:00', '16:47:00', MINUTES],
  ['Golden CO, USNO', GOLDEN, '-07:00', '2015-01-02', '07:22:00', '12:05:00', '16:48:00', MINUTES],
  ['Golden CO, USNO', GOLDEN, '-07:00', '2015-01-03', '07:22:00', '12:05:00', '16:49:00', MINUTES],
  ['Golden CO, USNO', GOLDEN, '-07:00', '2015-08-02', '05:00:00', '12:07:00', '19:13:00', MINUTES],
]

describe('sunrise, solar noon and sunset', () => {
  for (const [name, place, offset, date, rise, noon, set, toleranceS] of ROWS) {
    it(`of ${name} on ${date}`, () => {
      const startMs = Date.parse(`${date}T00:00:00${offset}`)
      const times = sunTimes({ date, startMs, endMs: startMs + 86_400_000 }, place)
      const check = (actualMs: number | null, expected: string | null): void => {
        if (expected === null) return
        const expectedMs = Date.parse(`${date}T${expected}${offset}`)
        expect(actualMs).not.toBeNull()
        expect(Math.abs(actualMs! - expectedMs) / 1000).toBeLessThanOrEqual(toleranceS)
      }
      check(times.sunriseMs, rise)
      check(times.solarNoonMs, noon)
      check(times.sunsetMs, set)
    })
  }
})
