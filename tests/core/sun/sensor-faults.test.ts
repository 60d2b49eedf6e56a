import { describe, expect, it } from 'vitest'
import { NO_READINGS, type Place, type ReadingColumns } from '../../../hub/core/readings.js'
import { learnBedSun } from '../../../hub/core/sun/bed-sun.js'
import { daySun } from '../../../hub/core/sun/day-sun.js'
import { type SensorFault, sensorFaults } from '../../../hub/core/sun/sensor-faults.js'
import { localDay } from '../../../shared/local-time.js'
import { FLAG } from '../../../shared/quality-flags.js'
import { type MadeUpSky, madeUpLight } from '../../support/made-up-sky.js'

const PLACE: Place = { latitudeDeg: 44, longitudeDeg: 3, elevationM: 100 }
const START_MS = Date.parse('2026-05-01T00:00:00Z')
const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS

function faultsOf(
  sky: Partial<MadeUpSky>,
  change: (light: ReadingColumns) => ReadingColumns = (l) => l,
): SensorFault[] {
  const { light } = madeUpLight({ place: PLACE, startMs: START_MS, days: 28, ...sky })
  return sensorFaults(learnBedSun({ light: change(light), irradiance: NO_READINGS }, PLACE))
}
const kinds = (faults: readonly SensorFault[]): string[] => faults.map((fault) => fault.kind)

describe('faults that a light sensor shows by itself', () => {
  it('are none where nothing is wrong', () => {
    expect(faultsOf({})).toEqual([])
  })

  it('include a clock that is an hour off, either way, and nothing that follows from it', () => {
    for (const hours of [1, -1]) {
      const faults = faultsOf({}, (light) => ({
        ...light,
        timeMs: light.timeMs.map((ms) => ms + hours * HOUR_MS),
      }))
      expect(kinds(faults)).toEqual(['clock-off'])
      const [fault] = faults
      if (fault?.kind !== 'clock-off') throw new Error('no clock fault')
      expect(Math.abs(fault.offsetMinutes - hours * 60)).toBeLessThan(15)
    }
  })

  it('include a leaf on the dome', () => {
    const faults = faultsOf({ gain: (timeMs) => (timeMs > START_MS + 14 * DAY_MS ? 0.65 : 1) })
    expect(kinds(faults)).toContain('gain-changed')
  })

  it('include a sensor that leans', () => {
    expect(kinds(faultsOf({ gain: (timeMs) => ((timeMs / HOUR_MS) % 24 < 11.8 ? 0.75 : 1) }))).toContain(
      'leaning',
    )
  })

  it('include one that lies on its face, as long as it does', () => {
    const overturned = faultsOf({ gain: (timeMs) => (timeMs > START_MS + 25 * DAY_MS ? 0.004 : 1) })
    expect(kinds(overturned)).toEqual(['covered'])
    const picked = faultsOf({
      gain: (timeMs) => (timeMs > START_MS + 20 * DAY_MS && timeMs < START_MS + 22 * DAY_MS ? 0.004 : 1),
    })
    expect(kinds(picked)).toEqual([])
  })

  it('include a ceiling that is too low to tell sun from cloud', () => {
    const faults = faultsOf({}, (light) => ({
      ...light,
      value: light.value.map((v) => Math.min(54_612, v)),
      flags: Uint16Array.from(light.value, (v) => (v >= 54_612 ? FLAG.ceiling : 0)),
    }))
    expect(kinds(faults)).toEqual(['ceiling-low'])
    const [fault] = faults
    if (fault?.kind !== 'ceiling-low') throw new Error('no ceiling fault')
    expect(fault.ceilingLx).toBe(54_612)
    expect(fault.doubtHoursPerDay).toBeGreaterThan(0.5)
  })
})

describe('bad input', () => {
  it('of a torch at night makes no sun', () => {
    const { light } = madeUpLight({ place: PLACE, startMs: START_MS, days: 2 })
    const value = light.value.map((v, i) => (v < 1 && i % 60 < 20 ? 20_000 : v))
    const day = localDay('2026-05-02', 'UTC')
    const plain = daySun(day, { light, irradiance: NO_READINGS }, PLACE, day.endMs)
    const lit = daySun(day, { light: { ...light, value }, irradiance: NO_READINGS }, PLACE, day.endMs)
    // in twilight a torch is bright enough to be taken for a low sun, no more
    expect(Math.abs(lit.sunHours! - plain.sunHours!)).toBeLessThan(0.3)
  })

  it('of snow on the dome for a day leaves gain and skyline as they were', () => {
    const snowMs = START_MS + 20 * DAY_MS
    const { light } = madeUpLight({
      place: PLACE,
      startMs: START_MS,
      days: 28,
      gain: (timeMs) => (timeMs > snowMs && timeMs < snowMs + DAY_MS ? 0.15 : 1),
    })
    const { light: clean } = madeUpLight({ place: PLACE, startMs: START_MS, days: 28 })
    const snowed = learnBedSun({ light, irradiance: NO_READINGS }, PLACE)
    const plain = learnBedSun({ light: clean, irradiance: NO_READINGS }, PLACE)
    expect(snowed.gain.latest! / plain.gain.latest!).toBeCloseTo(1, 2)
    expect(Math.max(...snowed.skyline.elevationDeg)).toBeLessThan(12)
  })

  it('with gaps and faulty readings all over makes no nonsense', () => {
    const { light } = madeUpLight({ place: PLACE, startMs: START_MS, days: 20 })
    const keep = [...light.timeMs.keys()].filter((i) => Math.floor(i / 333) % 3 !== 1)
    const holed: ReadingColumns = {
      timeMs: Float64Array.from(keep, (i) => light.timeMs[i]!),
      value: Float64Array.from(keep, (i) => (i % 50 === 0 ? 190_000 : light.value[i]!)),
      flags: Uint16Array.from(keep, (i) => (i % 50 === 0 ? FLAG.range : 0)),
    }
    const learned = learnBedSun({ light: holed, irradiance: NO_READINGS }, PLACE)
    expect(Math.abs(learned.gain.latest! - 1)).toBeLessThan(0.06)
    expect(Math.max(...learned.skyline.elevationDeg)).toBeLessThan(12)
  })
})
