/** Sun positions against a port of the NREL algorithm; a bed's season of minutes to states, gain, skyline and outlook. */
import { getSpa } from 'nrel-spa'
import { NO_READINGS } from '../../hub/core/readings.js'
import { learnBedSun } from '../../hub/core/sun/bed-sun.js'
import { daySun } from '../../hub/core/sun/day-sun.js'
import { sunPath } from '../../hub/core/sun/position.js'
import { runningDay } from '../../hub/core/sun/running-day.js'
import { sunOutlook } from '../../hub/core/sun/sun-outlook.js'
import { createRunningBed } from '../../hub/garden/running-bed.js'
import { addDays, localDay, localDays } from '../../shared/local-time.js'
import { type BenchRow, median } from './bench-row.js'
import type { Season } from './season.js'

const RUNS = 3

function medianSeconds(pass: () => unknown): number {
  const times: number[] = []
  for (let run = 0; run <= RUNS; run++) {
    const startedAt = performance.now()
    pass()
    if (run > 0) times.push((performance.now() - startedAt) / 1000)
  }
  return median(times)
}

export function sunBench(season: Season): BenchRow[] {
  const { place, light } = season
  const minutes = light.timeMs.length
  const sample = light.timeMs.subarray(0, 20_000)
  const spaS = medianSeconds(() => {
    for (const timeMs of sample) {
      getSpa(new Date(timeMs), place.latitudeDeg, place.longitudeDeg, 0, { elevation: place.elevationM })
    }
  })
  const pathS = medianSeconds(() => sunPath(light.timeMs, place))
  const year = localDays(season.toDate, addDays(season.toDate, 364), season.timeZone)
  const learnS = medianSeconds(() => {
    const { skyline } = learnBedSun({ light, irradiance: NO_READINGS }, place)
    sunOutlook(year, place, skyline, null)
  })
  const { anewMs, runningMs } = oneReadingMore(season)
  const spa = 'sun positions, port of the NREL algorithm'
  const path = 'sun positions, the hub’s'
  return [
    { name: spa, value: sample.length / spaS, unit: 'positions/s', ratioTo: null },
    { name: path, value: minutes / pathS, unit: 'positions/s', ratioTo: spa },
    {
      name: 'a season of minutes to sensor gain, skyline, sun states and a year’s outlook',
      value: minutes / learnS,
      unit: 'readings/s',
      ratioTo: path,
    },
    { name: 'that season, in all', value: learnS * 1000, unit: 'ms', ratioTo: null },
    { name: ANEW, value: anewMs, unit: 'ms', ratioTo: null },
    { name: 'one reading more: its figures kept up to date', value: runningMs, unit: 'ms', ratioTo: ANEW },
    {
      name: 'one reading more of each: a bed’s whole day kept up to date',
      value: wholeBedMs(season),
      unit: 'ms',
      ratioTo: ANEW,
    },
  ]
}

const ANEW = 'one reading more: the day’s sun computed anew'

/** Mean time, over a whole day of minutes, to have the day's figures after each reading. */
function oneReadingMore({ light, place, timeZone, fromDate }: Season): { anewMs: number; runningMs: number } {
  const day = localDay(fromDate, timeZone)
  const count = Math.round((day.endMs - day.startMs) / 60_000)
  const first = light.timeMs.findIndex((timeMs) => timeMs >= day.startMs)
  const upTo = (i: number) => ({
    light: {
      timeMs: light.timeMs.subarray(first, first + i),
      value: light.value.subarray(first, first + i),
      flags: light.flags.subarray(first, first + i),
    },
    irradiance: NO_READINGS,
  })
  const every = 20
  let startedAt = performance.now()
  for (let i = 1; i <= count; i += every) daySun(day, upTo(i), place, light.timeMs[first + i - 1]!)
  const anewMs = (performance.now() - startedAt) / Math.ceil(count / every)
  const running = runningDay(day, 'light', place)
  startedAt = performance.now()
  for (let i = first; i < first + count; i++) {
    running.add(light.timeMs[i]!, light.value[i]!, light.flags[i]!)
    running.sun(light.timeMs[i]!)
  }
  return { anewMs, runningMs: (performance.now() - startedAt) / count }
}

/** Mean time, over a day of minutes, to have a bed's sun and day record after a reading of light, air and soil each. */
function wholeBedMs({ light, airTemp, soilTemp, place, timeZone, fromDate }: Season): number {
  const day = localDay(addDays(fromDate, 1), timeZone)
  const first = light.timeMs.findIndex((timeMs) => timeMs >= day.startMs)
  const count = Math.round((day.endMs - day.startMs) / 60_000)
  const before = (c: typeof light): typeof light => ({
    timeMs: c.timeMs.subarray(0, first),
    value: c.value.subarray(0, first),
    flags: c.flags.subarray(0, first),
  })
  const garden = { id: 'home', name: 'Home', ...place, timeZone }
  const bed = createRunningBed(day, garden, [], {
    airTemp: before(airTemp),
    soilTemp: before(soilTemp),
    light: before(light),
    irradiance: NO_READINGS,
  })
  const startedAt = performance.now()
  for (let i = first; i < first + count; i++) {
    const timeMs = light.timeMs[i]!
    bed.add('light', timeMs, light.value[i]!, light.flags[i]!)
    bed.add('air-temp', timeMs, airTemp.value[i]!, airTemp.flags[i]!)
    bed.add('soil-temp', timeMs, soilTemp.value[i]!, soilTemp.flags[i]!)
    bed.figures(timeMs)
  }
  return (performance.now() - startedAt) / count
}
