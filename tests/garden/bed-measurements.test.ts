import { join } from 'node:path'
import Database from 'better-sqlite3'
import fc from 'fast-check'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import type { Reading } from '../../hub/store/port.js'
import { FLAG } from '../../shared/quality-flags.js'
import { addGarden, type BedFixture, DAY_MS, HOUR_MS, openBedFixture, readingsEvery } from './bed-fixture.js'

const MAY_1 = Date.parse('2027-04-30T22:00:00Z')
const MINUTE_MS = 60_000

let hub: BedFixture
beforeAll(async () => {
  hub = await openBedFixture(MAY_1 + 60 * DAY_MS)
})
afterAll(() => hub.close())

/** Days of the garden that are kept on disk, by bed. */
function keptDates(garden: string): string[] {
  const db = new Database(join(hub.dataDir, 'garden.sqlite'), { readonly: true })
  const rows = db
    .prepare<[string], string>("SELECT bed || ' ' || date FROM day_records WHERE garden = ? ORDER BY 1")
    .pluck()
    .all(garden)
  db.close()
  return rows
}

let gardens = 0
let id: string
beforeEach(async () => {
  id = `g${gardens++}`
  await addGarden(hub.garden, id)
})

const course = (timeMs: number): number => 14 + 8 * Math.sin((2 * Math.PI * (timeMs - MAY_1)) / DAY_MS - 1.8)
const airTemp = (spacingMs: number, fromMs: number, toMs: number, node = 'n1'): Reading[] =>
  readingsEvery(spacingMs, fromMs, toMs, node, { 'air-temp': course }, id)

describe('a bed', () => {
  it('has the readings of its nodes while they stood in it, and no others', async () => {
    const moved = MAY_1 + 10 * HOUR_MS
    await hub.garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: MAY_1, toMs: moved })
    await hub.garden.addPlacement(id, { node: 'n1', bed: 'wall', fromMs: moved, toMs: null })
    await hub.garden.addPlacement(id, { node: 'n2', bed: 'south', fromMs: moved, toMs: null })
    await hub.append(airTemp(HOUR_MS, MAY_1 - 5 * HOUR_MS, MAY_1 + 20 * HOUR_MS, 'n1'))
    await hub.append(airTemp(HOUR_MS, MAY_1 - 5 * HOUR_MS, MAY_1 + 15 * HOUR_MS, 'n2'))

    const south = await hub.measurements.readRange(id, 'south', 'air-temp', MAY_1 - DAY_MS, MAY_1 + DAY_MS)
    expect([...south.timeMs]).toEqual(Array.from({ length: 15 }, (_, i) => MAY_1 + i * HOUR_MS))
    expect(await hub.measurements.countRange(id, 'south', 'air-temp', 0, MAY_1 + DAY_MS)).toBe(15)
    expect(await hub.measurements.countRange(id, 'wall', 'air-temp', 0, MAY_1 + DAY_MS)).toBe(10)
    expect(await hub.measurements.countRange(id, 'wall', 'light', 0, MAY_1 + DAY_MS)).toBe(0)
  })

  it('knows the quantities that were sent from it', async () => {
    await hub.garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: MAY_1, toMs: MAY_1 + DAY_MS })
    await hub.append([
      ...airTemp(HOUR_MS, MAY_1, MAY_1 + 2 * HOUR_MS),
      // sent before and after it stood in this bed, but not while it did
      ...readingsEvery(HOUR_MS, MAY_1 - HOUR_MS, MAY_1, 'n1', { light: () => 5 }, id),
      ...readingsEvery(HOUR_MS, MAY_1 + DAY_MS, MAY_1 + DAY_MS + 1, 'n1', { light: () => 5 }, id),
      ...readingsEvery(HOUR_MS, MAY_1 + HOUR_MS, MAY_1 + 2 * HOUR_MS, 'n1', { 'leaf-wetness': () => 1 }, id),
    ])
    expect(await hub.measurements.quantities(id, 'south')).toEqual(['air-temp', 'leaf-wetness'])
    expect(await hub.measurements.quantities(id, 'wall')).toEqual([])
  })

  it('shows the newest reading of the nodes that stand in it now; of two nodes the newer placement speaks', async () => {
    await hub.garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: MAY_1, toMs: null })
    await hub.append(airTemp(HOUR_MS, MAY_1 - 5 * HOUR_MS, MAY_1 + 3 * HOUR_MS, 'n1'))
    await hub.append(readingsEvery(HOUR_MS, MAY_1, MAY_1 + HOUR_MS, 'n1', { light: () => 900 }, id))
    expect(await hub.measurements.latest(id, 'south')).toMatchObject([
      { quantity: 'air-temp', node: 'n1', timeMs: MAY_1 + 2 * HOUR_MS },
      { quantity: 'light', node: 'n1', value: 900 },
    ])
    await hub.garden.addPlacement(id, { node: 'n2', bed: 'south', fromMs: MAY_1 + HOUR_MS, toMs: null })
    await hub.append(airTemp(HOUR_MS, MAY_1, MAY_1 + 2 * HOUR_MS, 'n2'))
    expect(await hub.measurements.latest(id, 'south')).toMatchObject([
      { quantity: 'air-temp', node: 'n2', timeMs: MAY_1 + HOUR_MS },
      { quantity: 'light', node: 'n1' },
    ])
    expect(await hub.measurements.latest(id, 'wall')).toEqual([])
  })

  it('does not show what a node sent before it stood there', async () => {
    await hub.append(airTemp(HOUR_MS, MAY_1, MAY_1 + HOUR_MS))
    await hub.garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: MAY_1 + DAY_MS, toMs: null })
    expect(await hub.measurements.latest(id, 'south')).toEqual([])
  })

  it('keeps the older node where the newer one does not measure a quantity', async () => {
    await hub.garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: MAY_1, toMs: null })
    await hub.garden.addPlacement(id, { node: 'n2', bed: 'south', fromMs: MAY_1 + HOUR_MS, toMs: null })
    await hub.append(
      readingsEvery(HOUR_MS, MAY_1, MAY_1 + 4 * HOUR_MS, 'n1', { light: () => 1, 'soil-temp': () => 1 }, id),
    )
    await hub.append(readingsEvery(HOUR_MS, MAY_1, MAY_1 + 4 * HOUR_MS, 'n2', { light: () => 2 }, id))
    const read = async (quantity: string): Promise<number[]> => [
      ...(await hub.measurements.readRange(id, 'south', quantity, MAY_1, MAY_1 + DAY_MS)).value,
    ]
    expect(await read('light')).toEqual([1, 2, 2, 2])
    expect(await read('soil-temp')).toEqual([1, 1, 1, 1])
  })
})

describe('chart steps of a bed', () => {
  it('are those of its readings, also where a step spans two nodes and where nobody stood there', async () => {
    const seams = [MAY_1 + 7.3 * HOUR_MS, MAY_1 + 9.8 * HOUR_MS, MAY_1 + 13 * HOUR_MS, MAY_1 + 13.4 * HOUR_MS]
    const [a, b, c, d] = seams.map(Math.round) as [number, number, number, number]
    await hub.garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: MAY_1, toMs: a })
    await hub.garden.addPlacement(id, { node: 'n2', bed: 'south', fromMs: a, toMs: b })
    await hub.garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: c, toMs: d })
    await hub.garden.addPlacement(id, { node: 'n2', bed: 'south', fromMs: d, toMs: null })
    await hub.append(airTemp(MINUTE_MS, MAY_1 - DAY_MS, MAY_1 + DAY_MS, 'n1'))
    await hub.append(airTemp(MINUTE_MS, MAY_1 - DAY_MS, MAY_1 + DAY_MS, 'n2'))

    for (const stepMs of [HOUR_MS, 20 * MINUTE_MS, 3 * HOUR_MS, 7 * MINUTE_MS + 1]) {
      const fromMs = MAY_1 - 2 * HOUR_MS
      const toMs = MAY_1 + 17.5 * HOUR_MS
      const steps = await hub.measurements.readSteps(id, 'south', 'air-temp', fromMs, toMs, stepMs)
      const raw = await hub.measurements.readRange(id, 'south', 'air-temp', fromMs, toMs)
      const n = Math.ceil((toMs - fromMs) / stepMs)
      expect(steps.count.length).toBe(n)
      for (let i = 0; i < n; i++) {
        const startMs = fromMs + i * stepMs
        const values = [...raw.value].filter(
          (_, r) => raw.timeMs[r]! >= startMs && raw.timeMs[r]! < startMs + stepMs,
        )
        expect([steps.startMs[i], steps.count[i]]).toEqual([startMs, values.length])
        if (values.length === 0) {
          expect([steps.min[i], steps.mean[i], steps.coveredMs[i]]).toEqual([Number.NaN, Number.NaN, 0])
          continue
        }
        expect(steps.min[i]).toBe(Math.min(...values))
        expect(steps.max[i]).toBe(Math.max(...values))
        // nor is its weight exact there
        expect(steps.mean[i]).toBeCloseTo(values.reduce((x, y) => x + y) / values.length, 1)
        // a reading at a seam has no neighbour there and may stand for up to half a minute more
        const accountedMs = Math.min(stepMs, values.length * MINUTE_MS)
        expect(Math.abs(steps.coveredMs[i]! - accountedMs)).toBeLessThanOrEqual(MINUTE_MS)
      }
    }
  })

  it('leave flagged readings out', async () => {
    await hub.garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: MAY_1, toMs: null })
    const readings = airTemp(MINUTE_MS, MAY_1, MAY_1 + HOUR_MS)
    readings[5] = { ...readings[5]!, value: 85, flags: FLAG.sentinel }
    await hub.append(readings)
    const steps = await hub.measurements.readSteps(id, 'south', 'air-temp', MAY_1, MAY_1 + HOUR_MS, HOUR_MS)
    expect(steps.count[0]).toBe(59)
    expect(steps.max[0]).toBeLessThan(30)
  })
})

describe('day records', () => {
  it('come one a local day, of the readings of that day', async () => {
    await hub.garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: MAY_1, toMs: null })
    await hub.append(airTemp(10 * MINUTE_MS, MAY_1, MAY_1 + 2 * DAY_MS))
    const days = await hub.measurements.days(id, 'south', '2027-04-30', '2027-05-03')
    expect(days.map((d) => d.date)).toEqual(['2027-04-30', '2027-05-01', '2027-05-02', '2027-05-03'])
    expect(days.map((d) => d.airTempMaxC === null)).toEqual([true, false, false, true])
    expect(days[1]!.airCoverage).toBeCloseTo(1, 2)
    expect(days[1]!.airTempMeanC).toBeCloseTo(14, 1)
    expect(days[1]!.provisional).toBe(false)
  })

  it('are kept once settled, and are the same when they come from the cache', async () => {
    await hub.garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: MAY_1, toMs: null })
    await hub.append(airTemp(HOUR_MS / 2, MAY_1, hub.nowMs))
    const computed = await hub.measurements.days(id, 'south', '2027-04-20', '2027-06-29')
    const kept = keptDates(id)
    // a day is settled when on-time readings, two days and a bit after it, no longer bear on its flags
    expect(kept.at(-1)).toBe('south 2027-06-26')
    const again = await hub.restarted().days(id, 'south', '2027-04-20', '2027-06-29')
    expect(JSON.stringify(again)).toBe(JSON.stringify(computed))
  })

  it('are kept without a reading too, where a node stood in the bed', async () => {
    await hub.garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: MAY_1 + 2 * DAY_MS, toMs: null })
    await hub.measurements.days(id, 'south', '2027-04-20', '2027-05-04')
    expect(keptDates(id).slice(-2)).toEqual(['south 2027-05-03', 'south 2027-05-04'])
    expect(keptDates(id)).not.toContain('south 2027-04-28')
    await hub.append(airTemp(HOUR_MS, MAY_1 + 2 * DAY_MS, MAY_1 + 4 * DAY_MS))
    const [filled] = await hub.measurements.days(id, 'south', '2027-05-04', '2027-05-04')
    expect(filled!.airCoverage).toBeCloseTo(1, 2)
  })

  it('with other options are computed anew and do not touch the cache', async () => {
    await hub.garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: MAY_1, toMs: null })
    await hub.append(airTemp(HOUR_MS, MAY_1, MAY_1 + 3 * DAY_MS))
    const [usual] = await hub.measurements.days(id, 'south', '2027-05-02', '2027-05-02')
    const kept = keptDates(id)
    const [warm] = await hub.measurements.days(id, 'south', '2027-05-02', '2027-05-02', { baseC: 10 })
    expect(warm!.degreeDaysC!).toBeLessThan(usual!.degreeDaysC! - 3)
    expect(keptDates(id)).toEqual(kept)
    const [again] = await hub.measurements.days(id, 'south', '2027-05-02', '2027-05-02')
    expect(again).toEqual(usual)
  })

  it('of an unknown garden are refused', async () => {
    await expect(hub.measurements.days('nowhere', 'south', '2027-05-01', '2027-05-01')).rejects.toMatchObject(
      {
        code: 'UNKNOWN_GARDEN',
      },
    )
  })
})

describe('late readings', () => {
  const hourly = (fromMs: number, toMs: number): Reading[] => airTemp(HOUR_MS / 2, fromMs, toMs)

  beforeEach(async () => {
    await hub.garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: MAY_1, toMs: null })
    await hub.append(hourly(MAY_1, MAY_1 + 10 * DAY_MS))
    await hub.append(hourly(MAY_1 + 11 * DAY_MS, MAY_1 + 20 * DAY_MS))
  })
  const may11 = (): Reading[] => hourly(MAY_1 + 10 * DAY_MS, MAY_1 + 11 * DAY_MS)
  const allDays = () => hub.measurements.days(id, 'south', '2027-05-01', '2027-05-20')

  it('make the hub forget the days they touch, and only those', async () => {
    const before = await allDays()
    expect(before[10]!.airTempMaxC).toBeNull()
    await hub.append(may11())
    const kept = keptDates(id)
    expect(kept).not.toContain('south 2027-05-11')
    expect(kept).toContain('south 2027-05-07')
    expect(kept).toContain('south 2027-05-15')
    expect((await allDays())[10]!.airTempMaxC).toBeCloseTo(22, 0)
  })

  it('are forgotten for before they are stored, so that a crash in between leaves nothing stale', async () => {
    await allDays()
    let keptDuringAppend: string[] = []
    await hub.measurements.appendAndForget(may11(), async () => {
      keptDuringAppend = keptDates(id)
      return hub.store.append(may11(), hub.nowMs)
    })
    expect(keptDuringAppend).not.toContain('south 2027-05-11')
    expect(keptDuringAppend).not.toContain('south 2027-05-10')
  })

  it('that are being stored keep a day computed meanwhile out of the cache', async () => {
    await allDays()
    await hub.measurements.appendAndForget(may11(), async () => {
      // somebody looks at the page before the commit: right for now, wrong a moment later
      expect((await allDays())[10]!.airTempMaxC).toBeNull()
      return hub.store.append(may11(), hub.nowMs)
    })
    expect(keptDates(id)).not.toContain('south 2027-05-11')
    expect((await hub.restarted().days(id, 'south', '2027-05-11', '2027-05-11'))[0]!.airTempMaxC).toBeCloseTo(
      22,
      0,
    )
  })

  it('that are stored while a day is being computed keep it out of the cache', async () => {
    const looking = allDays()
    await hub.append(may11())
    await looking
    const [now] = await hub.measurements.days(id, 'south', '2027-05-11', '2027-05-11')
    expect(now!.airTempMaxC).toBeCloseTo(22, 0)
  })

  it('that cannot be stored leave the days as they were', async () => {
    const before = await allDays()
    const failure = new Error('disk full')
    await expect(hub.measurements.appendAndForget(may11(), () => Promise.reject(failure))).rejects.toBe(
      failure,
    )
    expect(await allDays()).toEqual(before)
    await allDays()
    expect(keptDates(id)).toContain('south 2027-05-12')
  })

  it('of other gardens and nodes touch nothing', async () => {
    await allDays()
    const kept = keptDates(id)
    await hub.append(may11().map((r) => ({ ...r, node: 'n2' })))
    await hub.append(may11().map((r) => ({ ...r, garden: 'elsewhere' })))
    expect(keptDates(id)).toEqual(kept)
  })

  it('far in the past do not make the hub forget all that lies between', async () => {
    await allDays()
    const kept = keptDates(id)
    await hub.append([
      { garden: id, node: 'n1', quantity: 'air-temp', timeMs: 0, value: 3, flags: FLAG.clock },
      { garden: id, node: 'n1', quantity: 'air-temp', timeMs: hub.nowMs, value: 3, flags: 0 },
    ])
    expect(keptDates(id)).toEqual(kept)
  })
})

describe('a changed garden', () => {
  it('is never answered from days computed for the old one', async () => {
    await hub.garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: MAY_1, toMs: null })
    await hub.append(airTemp(HOUR_MS, MAY_1, MAY_1 + 5 * DAY_MS))
    const [before] = await hub.measurements.days(id, 'south', '2027-05-02', '2027-05-02')
    const looking = hub.measurements.days(id, 'south', '2027-05-03', '2027-05-05')
    const [placement] = await hub.garden.listPlacements(id)
    await hub.garden.changePlacement(id, { ...placement!, fromMs: MAY_1 + 1.5 * DAY_MS })
    await looking
    const [after] = await hub.restarted().days(id, 'south', '2027-05-02', '2027-05-02')
    expect(before!.airCoverage).toBeCloseTo(1, 2)
    expect(after!.airCoverage).toBeCloseTo(0.5, 1)
    await hub.measurements.forget(id)
    expect(keptDates(id)).toEqual([])
  })
})

describe('the order in which readings arrive', () => {
  it('does not matter: kept records equal a computation from scratch, byte for byte', {
    timeout: 180_000,
  }, async () => {
    const days = 7
    const toMs = MAY_1 + days * DAY_MS
    const half = HOUR_MS / 2
    const noisy = (timeMs: number): number =>
      Math.round(10 * (course(timeMs) + 2 * Math.sin(timeMs / 7e6))) / 10
    const light = (timeMs: number): number =>
      Math.min(54_612, Math.max(0, 60_000 * Math.sin(((timeMs - MAY_1) / DAY_MS) * 2 * Math.PI - 1.5)))
    // soil that stands still for two days, a leap, a dropout, a ceiling: what neighbours decide
    const soil = (timeMs: number): number => {
      const day = (timeMs - MAY_1) / DAY_MS
      return day > 2 && day < 4.6 ? 13.5 : noisy(timeMs) / 2
    }
    const all = (garden: string): Reading[] => {
      const readings = [
        ...readingsEvery(
          half,
          MAY_1 - DAY_MS,
          MAY_1 + 3.2 * DAY_MS,
          'n1',
          { 'air-temp': noisy, 'soil-temp': soil, light },
          garden,
        ),
        ...readingsEvery(
          half,
          MAY_1 + 2 * DAY_MS,
          toMs,
          'n2',
          { 'air-temp': noisy, 'soil-temp': soil, light },
          garden,
        ),
      ]
      for (const i of [60, 300, 301, 500]) readings[i] = { ...readings[i]!, value: i % 2 === 0 ? 0 : 40 }
      return readings
    }
    const prepare = async (): Promise<string> => {
      const garden = `g${gardens++}`
      await addGarden(hub.garden, garden)
      await hub.garden.addPlacement(garden, {
        node: 'n1',
        bed: 'south',
        fromMs: MAY_1 - DAY_MS,
        toMs: MAY_1 + 2.7 * DAY_MS,
      })
      await hub.garden.addPlacement(garden, {
        node: 'n2',
        bed: 'south',
        fromMs: MAY_1 + 2.2 * DAY_MS,
        toMs: null,
      })
      return garden
    }
    const look = (garden: string, from = 0, to = days - 1) =>
      hub.measurements.days(garden, 'south', `2027-05-0${1 + from}`, `2027-05-0${1 + to}`)

    const reference = await prepare()
    await hub.append(all(reference))
    const expected = JSON.stringify(await look(reference))

    const batches = fc.array(
      fc.record({
        size: fc.integer({ min: 20, max: 600 }),
        lookFrom: fc.nat(6),
        lookTo: fc.nat(6),
        waits: fc.boolean(),
      }),
      { minLength: 1, maxLength: 8 },
    )
    await fc.assert(
      fc.asyncProperty(fc.integer(), fc.boolean(), batches, async (seed, isShuffled, plan) => {
        const garden = await prepare()
        const readings = all(garden)
        if (isShuffled) shuffle(readings, seed)
        const looks: Promise<unknown>[] = []
        for (const { size, lookFrom, lookTo, waits } of plan) {
          looks.push(look(garden, Math.min(lookFrom, lookTo), Math.max(lookFrom, lookTo)))
          if (waits) await Promise.all(looks)
          const batch = readings.splice(0, size)
          // a redelivery now and then
          await hub.append([...batch, ...batch.slice(0, 5)])
        }
        looks.push(look(garden))
        await hub.append(readings)
        await Promise.all(looks)
        expect(JSON.stringify(await look(garden))).toBe(expected)
        expect(JSON.stringify(await hub.restarted().days(garden, 'south', '2027-05-01', '2027-05-07'))).toBe(
          expected,
        )
        expect(keptDates(garden)).toHaveLength(days)
      }),
      { numRuns: 25 },
    )
  })
})

/** Fisher and Yates with a small generator of our own, so that a seed tells the whole story. */
function shuffle<T>(list: T[], seed: number): void {
  let state = seed | 0
  for (let i = list.length - 1; i > 0; i--) {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) | 0
    const j = (state >>> 8) % (i + 1)
    ;[list[i], list[j]] = [list[j]!, list[i]!]
  }
}
