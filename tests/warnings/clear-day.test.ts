import { describe, expect, it } from 'vitest'
import { NO_READINGS, type ReadingColumns } from '../../hub/core/readings.js'
import { bedLight } from '../../hub/core/sun/bed-light.js'
import { haurwitzWm2 } from '../../hub/core/sun/clear-sky.js'
import { daySun } from '../../hub/core/sun/day-sun.js'
import { DAYLIGHT_LUX_PER_WM2 } from '../../hub/core/sun/light.js'
import { sunPosition } from '../../hub/core/sun/position.js'
import { isClearDay, sunRuns } from '../../hub/warnings/clear-day.js'
import { localDay, localDays } from '../../shared/local-time.js'
import { hasReferenceData, loadTidy, skipNote } from '../support/reference-data.js'

const PLACE = { latitudeDeg: 55.7, longitudeDeg: 12.5, elevationM: 20 }
const DAY = localDay('2027-06-10', 'Europe/Copenhagen')
const MINUTE_MS = 60_000

/** A day of five-minute lux; `part` is what reaches the sensor of a cloudless sky's light. */
function lightOf(part: (azimuthDeg: number, timeMs: number) => number): ReadingColumns {
  const timeMs = Float64Array.from({ length: 288 }, (_, i) => DAY.startMs + i * 5 * MINUTE_MS)
  const value = timeMs.map((t) => {
    const { elevationDeg, azimuthDeg } = sunPosition(t, PLACE)
    return haurwitzWm2(elevationDeg) * DAYLIGHT_LUX_PER_WM2 * part(azimuthDeg, t)
  })
  return { timeMs, value, flags: new Uint16Array(288) }
}

function judge(light: ReadingColumns) {
  const readings = { light, irradiance: NO_READINGS }
  const sun = daySun(DAY, readings, PLACE, DAY.endMs)
  return { sun, isClear: isClearDay(sun, bedLight(readings), PLACE) }
}

/** A number from 0 to 1 that jumps about with time, the same every run. */
const flicker = (timeMs: number): number => {
  const x = Math.sin(timeMs / 123_457) * 43_758.5453
  return x - Math.floor(x)
}

describe('a clear day', () => {
  it('is seen in the open, whatever the sensor’s gain', () => {
    for (const gain of [0.75, 1, 1.3]) expect(judge(lightOf(() => gain)).isClear).toBe(true)
  })

  it('is seen behind a wall that takes the afternoon away', () => {
    const { sun, isClear } = judge(lightOf((azimuth) => (azimuth > 180 ? 0.15 : 1)))
    expect(isClear).toBe(true)
    expect(sunRuns(sun)).toHaveLength(1)
    expect(sun.sunHours).toBeGreaterThan(6)
    expect(sun.sunHours).toBeLessThan(9)
  })

  it('is not one of passing clouds, nor of an overcast sky', () => {
    expect(
      judge(lightOf((_, t) => (flicker(Math.floor(t / (40 * MINUTE_MS))) > 0.5 ? 1 : 0.3))).isClear,
    ).toBe(false)
    expect(judge(lightOf((_, t) => 0.75 + 0.4 * flicker(t))).isClear).toBe(false)
    expect(judge(lightOf(() => 0.2)).isClear).toBe(false)
  })

  it('is not told from half a day of readings, nor from a sensor at its ceiling', () => {
    const whole = lightOf(() => 1)
    const half = {
      timeMs: whole.timeMs.subarray(0, 150),
      value: whole.value.subarray(0, 150),
      flags: whole.flags.subarray(0, 150),
    }
    expect(judge(half).isClear).toBe(false)
  })
})

describe.skipIf(!hasReferenceData)(`measured days of an open roof${skipNote}`, () => {
  it.each([
    ['dtu_2016_05', '2016-05-01', '2016-05-31', 8],
    ['dtu_2017_06', '2017-06-01', '2017-06-30', 3],
    ['dtu_2018_08', '2018-08-01', '2018-08-31', 3],
  ])('%s: none that counts as clear has less than eight hours of sun', async (name, from, to, least) => {
    const tidy = await loadTidy(`dtu-lyngby-1min/${name}.tidy.csv.gz`)
    const place = {
      latitudeDeg: Number(tidy.meta.lat),
      longitudeDeg: Number(tidy.meta.lon),
      elevationM: 40,
    }
    const irradiance = tidy.columns.ghi_w_m2!
    let clear = 0
    for (const day of localDays(from, to, 'Europe/Copenhagen')) {
      const inDay = [...tidy.timeMs.keys()].filter(
        (i) =>
          tidy.timeMs[i]! >= day.startMs && tidy.timeMs[i]! < day.endMs && Number.isFinite(irradiance[i]!),
      )
      const readings = {
        light: NO_READINGS,
        irradiance: {
          timeMs: Float64Array.from(inDay, (i) => tidy.timeMs[i]!),
          value: Float64Array.from(inDay, (i) => irradiance[i]!),
          flags: new Uint16Array(inDay.length),
        },
      }
      const sun = daySun(day, readings, place, day.endMs)
      if (!isClearDay(sun, bedLight(readings), place)) continue
      clear++
      expect(sun.sunHours).toBeGreaterThan(8)
    }
    expect(clear).toBeGreaterThanOrEqual(least)
  })
})
