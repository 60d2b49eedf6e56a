import { describe, expect, it } from 'vitest'
import { NO_READINGS, type Place } from '../../../hub/core/readings.js'
import { bedLight } from '../../../hub/core/sun/bed-light.js'
import { learnGain, type SensorGain } from '../../../hub/core/sun/sensor-gain.js'
import { sunSeries } from '../../../hub/core/sun/sun-series.js'
import { type MadeUpSky, madeUpLight } from '../../support/made-up-sky.js'

const PLACE: Place = { latitudeDeg: 44, longitudeDeg: 3, elevationM: 100 }
const START_MS = Date.parse('2026-05-01T00:00:00Z')
const DAY_MS = 86_400_000

function gainOf(sky: Partial<MadeUpSky>, ceilingLx = Number.POSITIVE_INFINITY): SensorGain {
  const { light } = madeUpLight({ place: PLACE, startMs: START_MS, days: 21, ...sky })
  const value = light.value.map((v) => Math.min(v, ceilingLx))
  return learnGain(sunSeries(bedLight({ light: { ...light, value }, irradiance: NO_READINGS }), PLACE))
}

describe('the gain of a light sensor', () => {
  it.each([0.6, 0.7, 1, 1.3, 1.5])('of %f is learned from its clear moments', (gain) => {
    const truth = gainOf({}).latest!
    const learned = gainOf({ gain: () => gain })
    expect(learned.latest! / truth).toBeCloseTo(gain, 2)
    expect(learned.clearDays).toBeGreaterThanOrEqual(4)
    expect(learned.uncertainty).toBeLessThan(0.05)
    expect(learned.changes).toEqual([])
  })

  it('of a true sensor is near 1', () => {
    expect(Math.abs(gainOf({}).latest! - 1)).toBeLessThan(0.06)
  })

  it('is learned from reports every 15 minutes too', () => {
    const learned = gainOf({ gain: () => 0.8, stepMs: 900_000 })
    expect(Math.abs(learned.latest! - 0.8)).toBeLessThan(0.05)
  })

  it('is learned in a northern winter too, where the sun hardly climbs', () => {
    const place: Place = { latitudeDeg: 56, longitudeDeg: 12, elevationM: 20 }
    const { light } = madeUpLight({
      place,
      startMs: Date.parse('2026-12-01T00:00:00Z'),
      days: 28,
      gain: () => 0.8,
    })
    const learned = learnGain(sunSeries(bedLight({ light, irradiance: NO_READINGS }), place))
    expect(Math.abs(learned.latest! / 0.8 - 1)).toBeLessThan(0.1)
  })

  it('is not learned, and is called 1 with all its doubt, where the sky never was clear', () => {
    const learned = gainOf({ cloudiness: () => 0.9 })
    expect(learned.latest).toBeNull()
    expect(learned.at(START_MS)).toBe(1)
    expect(learned.uncertainty).toBeGreaterThan(0.2)
  })

  it('is not taken from a bed that lies in shade all day', () => {
    expect(gainOf({ horizon: () => 80, cloudiness: () => 0.1 }).latest).toBeNull()
  })

  it('is not lowered by a sensor’s ceiling', () => {
    const truth = gainOf({}).latest!
    expect(Math.abs(gainOf({}, 54_612).latest! / truth - 1)).toBeLessThan(0.03)
  })

  it('changes where a leaf falls on the dome, and both times keep their own', () => {
    const leafMs = START_MS + 14 * DAY_MS
    const learned = gainOf({ days: 28, gain: (timeMs) => (timeMs > leafMs ? 0.7 : 1) })
    expect(learned.changes).toHaveLength(1)
    const [change] = learned.changes
    expect(change!.to / change!.from).toBeCloseTo(0.7, 1)
    expect(leafMs).toBeGreaterThanOrEqual(change!.afterMs - DAY_MS)
    expect(leafMs).toBeLessThanOrEqual(change!.beforeMs + DAY_MS)
    expect(learned.at(START_MS + 2 * DAY_MS) / learned.at(START_MS + 27 * DAY_MS)).toBeCloseTo(1 / 0.7, 1)
  })

  it('follows slow fouling without crying out', () => {
    const learned = gainOf({ days: 56, gain: (timeMs) => 1 - 0.1 * ((timeMs - START_MS) / (56 * DAY_MS)) })
    expect(learned.changes).toEqual([])
    expect(learned.at(START_MS + 55 * DAY_MS)).toBeLessThan(learned.at(START_MS + DAY_MS) - 0.02)
  })

  it('says when mornings read lower than afternoons: the sensor leans', () => {
    const learned = gainOf({ gain: (timeMs) => ((timeMs / 3_600_000) % 24 < 11.8 ? 0.75 : 1) })
    expect(learned.morningOverAfternoon).not.toBeNull()
    expect(learned.morningOverAfternoon!).toBeLessThan(0.85)
  })
})
