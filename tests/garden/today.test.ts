import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import type { BedMeasurements, TodayFigures } from '../../hub/garden/measured.js'
import { createTodayFigures } from '../../hub/garden/today.js'
import { addGarden, type BedFixture, DAY_MS, HOUR_MS, openBedFixture, readingsEvery } from './bed-fixture.js'

/** 14:00 in the garden */
const NOON_MS = Date.parse('2027-06-10T12:00:00Z')

let hub: BedFixture
let id: string
let gardens = 0
let asked: string[]
let figures: TodayFigures

beforeAll(async () => {
  hub = await openBedFixture(NOON_MS)
})
afterAll(() => hub.close())
beforeEach(async () => {
  hub.nowMs = NOON_MS
  id = `g${gardens++}`
  await addGarden(hub.garden, id)
  await hub.garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: NOON_MS - 10 * DAY_MS, toMs: null })
  await hub.garden.addPlacement(id, { node: 'n2', bed: 'wall', fromMs: NOON_MS - 10 * DAY_MS, toMs: null })
  asked = []
  // the real thing, listened to: which beds are computed
  const measurements: BedMeasurements = {
    ...hub.measurements,
    latest: (garden, bed) => {
      asked.push(bed)
      return hub.measurements.latest(garden, bed)
    },
  }
  figures = createTodayFigures({ garden: hub.garden, measurements, now: () => hub.nowMs })
})

const send = async (node: string, fromMs: number, toMs: number): Promise<void> => {
  const readings = readingsEvery(
    10 * 60_000,
    fromMs,
    toMs,
    node,
    { 'air-temp': () => 18, light: () => 50_000 },
    id,
  )
  await hub.append(readings)
  figures.readingsStored(readings)
}

describe('today', () => {
  it('has every bed with its sun, its day so far, its newest values and what stands in it', async () => {
    const crop = { crop: 'kale', variety: 'Black', sownOn: null, plants: 4, spacingM: 0.5 }
    const standing = await hub.garden.addPlanting(id, {
      ...crop,
      bed: 'south',
      plantedOutOn: '2027-05-01',
      finishedOn: null,
    })
    await hub.garden.addPlanting(id, {
      ...crop,
      bed: 'south',
      plantedOutOn: '2027-03-01',
      finishedOn: '2027-06-10',
    })
    await hub.garden.addPlanting(id, { ...crop, bed: 'south', plantedOutOn: '2027-06-11', finishedOn: null })
    await send('n1', NOON_MS - 12 * HOUR_MS, NOON_MS)
    const today = await figures.today(id)
    expect(today).toMatchObject({ date: '2027-06-10', nowMs: NOON_MS, garden: { id } })
    expect(today.sunPath.sunriseMs).toBeLessThan(NOON_MS)
    const [south, wall] = today.beds
    expect(south).toMatchObject({ bed: 'south', day: { date: '2027-06-10', airTempMaxC: 18 } })
    expect(south!.sun.sunHours).toBeGreaterThan(0)
    expect(south!.latest.map((r) => r.quantity)).toEqual(['air-temp', 'light'])
    expect(south!.plantings).toEqual([
      expect.objectContaining({ id: standing.id, cropName: 'Kale', variety: 'Black', stage: 'leafing' }),
    ])
    expect(wall).toMatchObject({ bed: 'wall', sun: { sunHours: null }, latest: [], plantings: [] })
  })

  it('is kept until something happens, and then computed for the beds concerned', async () => {
    await figures.today(id)
    expect(asked.splice(0).sort()).toEqual(['south', 'wall'])
    await figures.today(id)
    expect(asked).toEqual([])
    await send('n2', NOON_MS - HOUR_MS, NOON_MS)
    const [, wall] = (await figures.today(id)).beds
    expect(asked.splice(0)).toEqual(['wall'])
    expect(wall!.day.airTempMaxC).toBe(18)
  })

  it('moves on with the time, and with the date', async () => {
    await figures.today(id)
    asked.splice(0)
    hub.nowMs += 61_000
    await figures.today(id)
    expect(asked.splice(0)).toHaveLength(2)
    hub.nowMs = Date.parse('2027-06-10T22:00:30Z')
    expect(await figures.today(id)).toMatchObject({
      date: '2027-06-11',
      beds: [{ day: { date: '2027-06-11' } }, {}],
    })
  })

  it('shows a changed garden at once', async () => {
    await figures.today(id)
    await hub.garden.putBed(id, 'box', {
      name: 'A box',
      kind: 'container',
      lengthM: 0.6,
      widthM: 0.4,
      depthM: 0.3,
    })
    await hub.garden.addPlanting(id, {
      bed: 'wall',
      crop: 'spinach',
      variety: null,
      sownOn: '2027-06-01',
      plantedOutOn: null,
      plants: 40,
      spacingM: 0.1,
      finishedOn: null,
    })
    figures.gardenChanged(id)
    const { beds } = await figures.today(id)
    expect(beds.map((b) => [b.bed, b.plantings.length])).toEqual([
      ['box', 0],
      ['south', 0],
      ['wall', 1],
    ])
  })

  it('that many ask for at once is computed once', async () => {
    await Promise.all([figures.today(id), figures.today(id), figures.today(id)])
    expect(asked).toHaveLength(2)
  })

  it('does not keep a failure', async () => {
    let isDown = true
    const failing = createTodayFigures({
      garden: hub.garden,
      measurements: {
        ...hub.measurements,
        latest: (garden, bed) =>
          isDown ? Promise.reject(new Error('store is away')) : hub.measurements.latest(garden, bed),
      },
      now: () => hub.nowMs,
    })
    await expect(failing.today(id)).rejects.toThrow('store is away')
    isDown = false
    expect((await failing.today(id)).beds).toHaveLength(2)
  })

  it('of an unknown garden is refused', async () => {
    await expect(figures.today('nowhere')).rejects.toMatchObject({ code: 'UNKNOWN_GARDEN' })
  })
})
