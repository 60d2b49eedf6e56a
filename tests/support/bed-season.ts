/** A bed's season of minutes, for the benchmark: to states, gain, skyline and a year's outlook; and one more reading. */
import { NO_READINGS, type Place } from '../../hub/core/readings.js'
import { learnBedSun } from '../../hub/core/sun/bed-sun.js'
import { runningDay } from '../../hub/core/sun/running-day.js'
import { sunOutlook } from '../../hub/core/sun/sun-outlook.js'
import { localDay, localDays } from '../../shared/local-time.js'
import { madeUpLight } from './made-up-sky.js'

const PLACE: Place = { latitudeDeg: 50, longitudeDeg: 10, elevationM: 200 }
const ZONE = 'Europe/Berlin'
const FIRST = '2026-03-15'

export interface BedSeason {
  readonly readings: number
  /** states, gain, skyline and the outlook of a year; returns a figure, so that nothing is left out */
  learn(): number
}

/** @param days  180 days of one reading a minute are 259,200 readings */
export function bedSeason(days = 180): BedSeason {
  const startMs = localDay(FIRST, ZONE).startMs
  const horizon = (azimuthDeg: number): number => (azimuthDeg > 190 && azimuthDeg < 290 ? 35 : 5)
  const { light } = madeUpLight({ place: PLACE, startMs, days, horizon, gain: () => 0.85 })
  const year = localDays('2026-01-01', '2026-12-31', ZONE)
  return {
    readings: light.timeMs.length,
    learn: () => {
      const learned = learnBedSun({ light, irradiance: NO_READINGS }, PLACE)
      const outlook = sunOutlook(year, PLACE, learned.skyline, null)
      return outlook.reduce((sum, day) => sum + day.possibleSunHours, learned.gain.latest ?? 0)
    },
  }
}

/** A day fed minute by minute, its figures asked for after every reading. Returns the number of readings. */
export function feedRunningDay(): number {
  const day = localDay('2026-06-10', ZONE)
  const { light } = madeUpLight({ place: PLACE, startMs: day.startMs, days: 1 })
  const running = runningDay(day, 'light', PLACE)
  for (let i = 0; i < light.timeMs.length; i++) {
    running.add(light.timeMs[i]!, light.value[i]!, 0)
    running.sun(light.timeMs[i]!)
  }
  return light.timeMs.length
}
