import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { COMPLETE_COVERAGE } from '../../hub/core/quality/completeness.js'
import { createBedSeries } from '../../hub/garden/bed-series.js'
import { createBedTemperatures } from '../../hub/garden/bed-temperatures.js'
import { addDays } from '../../shared/local-time.js'
import { type BedFixture, COPENHAGEN, DAY_MS, HOUR_MS, openBedFixture, readingsEvery } from './bed-fixture.js'

const MINUTE_MS = 60_000
const LIMITS = { baseC: 4.4, upperC: 26.7, cutoff: 'horizontal' } as const

let hub: BedFixture
beforeAll(async () => {
  hub = await openBedFixture(Date.parse('2027-11-10T11:20:00Z'))
})
afterAll(() => hub.close())

/** Warm days and cool nights with gusts of some minutes, so that no hour is even. */
const air = (timeMs: number): number =>
  16 +
  9 * Math.sin((2 * Math.PI * timeMs) / DAY_MS) +
  3 * Math.sin((2 * Math.PI * timeMs) / (11 * DAY_MS)) +
  Math.sin(timeMs / (7 * MINUTE_MS))
const soil = (timeMs: number): number => 12 + 3 * Math.sin((2 * Math.PI * timeMs) / DAY_MS - 1)

/** Each with a day of 23 or 25 hours in it, and today, which is not over. */
const PLACES = [
  {
    id: 'north',
    timeZone: 'Europe/Copenhagen',
    latitudeDeg: 55.7,
    from: '2027-10-25',
    to: '2027-11-10',
    withinC: 0.05,
  },
  // midnight cuts an hour of UTC
  {
    id: 'south',
    timeZone: 'Australia/Adelaide',
    latitudeDeg: -34.9,
    from: '2027-09-25',
    to: '2027-10-12',
    withinC: 0.15,
  },
]

describe.each(PLACES)(
  'temperatures of days in $timeZone',
  ({ id, timeZone, latitudeDeg, from, to, withinC }) => {
    const temperatures = () => createBedTemperatures(createBedSeries(hub.store, hub.garden), () => hub.nowMs)
    const garden = { id, ...COPENHAGEN, timeZone, latitudeDeg, longitudeDeg: 138.6 }

    beforeAll(async () => {
      const { id: _, ...input } = garden
      await hub.garden.putGarden(id, input)
      await hub.garden.putBed(id, 'bed', { name: 'Bed', kind: 'raised', lengthM: 2, widthM: 1, depthM: null })
      for (const node of ['n1', 'n2']) await hub.garden.putNode(id, node, { name: node })
      const startMs = Date.parse(`${from}T00:00:00Z`)
      const movedMs = startMs + 6 * DAY_MS + 5.4 * HOUR_MS
      await hub.garden.addPlacement(id, { node: 'n1', bed: 'bed', fromMs: startMs, toMs: movedMs })
      await hub.garden.addPlacement(id, { node: 'n2', bed: 'bed', fromMs: movedMs, toMs: null })
      const endMs = Math.min(hub.nowMs, startMs + 19 * DAY_MS)
      for (const node of ['n1', 'n2']) {
        const readings = readingsEvery(
          2 * MINUTE_MS,
          startMs - DAY_MS,
          endMs,
          node,
          { 'air-temp': air, 'soil-temp': soil },
          id,
        )
        // nothing for two days, and a morning without air
        await hub.append(
          readings.filter(({ timeMs, quantity }) => {
            const days = (timeMs - startMs) / DAY_MS
            return (days < 9 || days > 11.2) && !(quantity === 'air-temp' && days > 3.1 && days < 3.4)
          }),
        )
      }
    })

    it('are those of their day records', async () => {
      const records = await hub.measurements.days(id, 'bed', from, to)
      const days = await temperatures().days(garden, 'bed', from, to)
      expect(days.map(({ date }) => date)).toEqual(records.map(({ date }) => date))
      expect(days.filter(({ airTempMinC }) => airTempMinC === null).length).toBeGreaterThan(0)
      for (const [i, day] of days.entries()) {
        const record = records[i]!
        expect([day.airTempMinC, day.airTempMaxC], day.date).toEqual([record.airTempMinC, record.airTempMaxC])
        const means = [
          [day.airTempMeanC, record.airTempMeanC],
          [day.soilTempMeanC, record.soilTempMeanC],
          [day.airCoverage, record.airCoverage],
          [day.soilCoverage, record.soilCoverage],
        ] as const
        for (const [own, recorded] of means) {
          if (recorded === null) expect(own, day.date).toBeNull()
          // at the seam of two nodes a reading has no neighbour to share its time with
          else expect(Math.abs((own ?? Number.NaN) - recorded), day.date).toBeLessThan(0.003)
        }
      }
    })

    it('give nearly the same degree days', async () => {
      // today is not over
      const over = addDays(to, -1)
      const records = await hub.measurements.days(id, 'bed', from, over, LIMITS)
      const days = await temperatures().warmth(garden, 'bed', from, over, LIMITS)
      expect(days.map(({ date }) => date)).toEqual(records.map(({ date }) => date))
      for (const [i, { date, degreeDaysC, airCoverage }] of days.entries()) {
        const record = records[i]!
        expect(Math.abs(airCoverage - record.airCoverage), date).toBeLessThan(0.03)
        if (record.degreeDaysC === null) expect(degreeDaysC, date).toBeNull()
        else {
          const isWhole = record.airCoverage >= COMPLETE_COVERAGE
          const differenceC = Math.abs((degreeDaysC ?? Number.NaN) - record.degreeDaysC)
          expect(differenceC, date).toBeLessThan(isWhole ? withinC : 2 * withinC)
        }
      }
    })
  },
)
