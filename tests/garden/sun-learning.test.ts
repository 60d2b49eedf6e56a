import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { possibleSunHours } from '../../hub/core/sun/possible-sun.js'
import { createBedSkies } from '../../hub/garden/bed-skies.js'
import type { Reading } from '../../hub/store/port.js'
import { localDay } from '../../shared/local-time.js'
import {
  addGarden,
  type BedFixture,
  COPENHAGEN,
  DAY_MS,
  HOUR_MS,
  openBedFixture,
  readingsEvery,
} from './bed-fixture.js'
import { bedLux } from './made-light.js'

/** a Thursday evening: what was learned reaches to Monday */
const NOW_MS = Date.parse('2027-06-24T18:00:00Z')
const PLACED_MS = Date.parse('2027-05-10T00:00:00Z')
const TEN_MINUTES = 600_000
/** from two in the afternoon on a wall hides the sun */
const wall = (azimuthDeg: number): number => (azimuthDeg > 200 ? 60 : 0)
const open = (): number => 0

let hub: BedFixture
let id: string
let gardens = 0

beforeAll(async () => {
  hub = await openBedFixture(NOW_MS)
})
afterAll(() => hub.close())
beforeEach(async () => {
  hub.nowMs = NOW_MS
  id = `g${gardens++}`
  await addGarden(hub.garden, id)
})

const place = (node: string, bed: string, fromMs = PLACED_MS, toMs: number | null = null) =>
  hub.garden.addPlacement(id, { node, bed, fromMs, toMs })

const light = (
  node: string,
  skyline: (azimuthDeg: number) => number,
  gain = 1,
  fromMs = PLACED_MS,
  toMs = NOW_MS,
): Reading[] =>
  readingsEvery(TEN_MINUTES, fromMs, toMs, node, { light: bedLux(COPENHAGEN, skyline, gain) }, id)

const possible = (date: string, skyline: (azimuthDeg: number) => number): number => {
  const day = localDay(date, COPENHAGEN.timeZone)
  return possibleSunHours(day.startMs, day.endMs, COPENHAGEN, skyline)
}

/** Everything that follows from what was learned, as text. */
async function everything(measurements = hub.measurements): Promise<string> {
  return JSON.stringify([
    await measurements.days(id, 'wall', '2027-05-10', '2027-06-23'),
    await measurements.days(id, 'south', '2027-05-10', '2027-06-23'),
    await measurements.carpet(id, 'wall', '2027-05-20', '2027-06-23'),
    await measurements.sun(id, 'wall', '2027-06-20'),
    (await measurements.sky(id, 'wall', '2027-06-20')).stretches,
    await createBedSkies({ garden: hub.garden, measurements, now: () => hub.nowMs }).skyline(id, 'wall'),
  ])
}

/** As computed by a hub that has nothing kept. */
async function fromScratch(): Promise<string> {
  for (const bed of ['south', 'wall']) await hub.garden.forgetDays(id, bed)
  await hub.garden.forgetLearnedSun(id, 0, Number.MAX_SAFE_INTEGER)
  return everything(hub.restarted())
}

describe('a bed behind a wall', () => {
  it('teaches its skyline, by which its days are judged', async () => {
    await place('n1', 'wall')
    await hub.append(light('n1', wall, 0.75))
    const skies = createBedSkies({
      garden: hub.garden,
      measurements: hub.measurements,
      now: () => hub.nowMs,
    })
    const { learned, skyline, node } = await skies.skyline(id, 'wall')
    expect(node).toBe('n1')
    expect(learned!.days).toBeGreaterThan(40)
    // readings from 21 June on are not settled by the 24th
    expect(new Date(learned!.lastMs).toISOString()).toMatch(/^2027-06-20/)
    for (const [i, azimuthDeg] of skyline.azimuthDeg.entries()) {
      // the sun stands from 45° down to 20° there
      if (azimuthDeg > 210 && azimuthDeg < 270) expect(skyline.lowDeg[i]).toBeGreaterThan(18)
      if (azimuthDeg > 90 && azimuthDeg < 195) expect(skyline.elevationDeg[i]).toBeLessThan(15)
    }
    const [day] = await hub.measurements.days(id, 'wall', '2027-06-15', '2027-06-15')
    expect(day!.possibleSunHours).toBeGreaterThan(possible('2027-06-15', wall) - 0.5)
    expect(day!.possibleSunHours).toBeLessThan(possible('2027-06-15', wall) + 0.5)
    const { segments } = await hub.measurements.sun(id, 'wall', '2027-06-15')
    const afternoonMs = Date.parse('2027-06-15T14:30:00Z')
    expect(segments.find((s) => s.fromMs <= afternoonMs && s.toMs > afternoonMs)!.state).toBe('shade')
  })

  it('has the same figures whatever came and was asked in which order', async () => {
    await place('n1', 'wall')
    await place('n2', 'south')
    const readings = [...light('n1', wall, 0.8), ...light('n2', open, 1.2)]
    // packs of two days, the odd ones first, and somebody looking all the time
    const packs = new Map<number, Reading[]>()
    for (const reading of readings) {
      const pack = Math.floor(reading.timeMs / (2 * DAY_MS))
      packs.set(pack, [...(packs.get(pack) ?? []), reading])
    }
    const order = [...packs.keys()].sort((a, b) => (a % 2) - (b % 2) || a - b)
    for (const [i, pack] of order.entries()) {
      await hub.append(packs.get(pack)!)
      if (i % 6 === 5) await everything()
    }
    const asGrown = await everything()
    expect(await fromScratch()).toBe(asGrown)
    expect(await everything(hub.restarted())).toBe(asGrown)
  }, 60_000)

  it('is judged anew when a late backlog shows what stands there', async () => {
    await place('n1', 'wall')
    const readings = light('n1', wall)
    // the radio was out of reach for all but the first four days and the last two
    const isLate = ({ timeMs }: Reading): boolean =>
      timeMs > PLACED_MS + 4 * DAY_MS && timeMs < NOW_MS - 2 * DAY_MS
    await hub.append(readings.filter((r) => !isLate(r)))
    const before = await hub.measurements.days(id, 'wall', '2027-05-10', '2027-05-13')
    await hub.append(readings.filter(isLate))
    const after = await hub.measurements.days(id, 'wall', '2027-05-10', '2027-05-13')
    expect(after[0]!.possibleSunHours).not.toBe(before[0]!.possibleSunHours)
    const asGrown = await everything()
    expect(await fromScratch()).toBe(asGrown)
  }, 30_000)
})

describe('what was learned', () => {
  it('is kept over a restart, and learned once for all who ask', async () => {
    await place('n1', 'wall')
    await hub.append(light('n1', wall))
    let learnings = 0
    const counting = new Proxy(hub.garden, {
      get: (target, method) => {
        const call = Reflect.get(target, method) as (...args: unknown[]) => unknown
        return (...args: unknown[]) => {
          if (method === 'keepLearnedSun') learnings++
          return call(...args)
        }
      },
    })
    const ask = hub.restartedOn(counting)
    await Promise.all(['2027-06-01', '2027-06-20', '2027-06-21'].map((date) => ask.sun(id, 'wall', date)))
    expect(learnings).toBe(1)
    await hub.restartedOn(counting).sun(id, 'wall', '2027-06-22')
    expect(learnings).toBe(1)
    // a week later there is more to learn from
    hub.nowMs += 7 * DAY_MS
    await ask.sun(id, 'wall', '2027-06-22')
    expect(learnings).toBe(2)
  }, 20_000)

  it('stays apart for each placement of a bed', async () => {
    const movedMs = PLACED_MS + 22 * DAY_MS + 10 * HOUR_MS
    await place('n1', 'wall', PLACED_MS, movedMs)
    await place('n2', 'wall', movedMs)
    await hub.append([...light('n1', wall, 0.7, PLACED_MS, movedMs), ...light('n2', open, 1.3, movedMs)])
    const { stretches, placed } = await hub.measurements.sky(id, 'wall', '2027-06-20')
    expect(stretches.map((s) => s.node)).toEqual(['n1', 'n2'])
    const gains = stretches.map((s) => s.learned.gain.latest!)
    expect(gains[1]! / gains[0]!).toBeGreaterThan(1.6)
    // of the day of the move, each part is judged by what was learned there
    const [first, second] = placed.map((p) => p.context.horizon!(250))
    expect(first).toBeGreaterThan(30)
    expect(second).toBeLessThan(10)
    const moving = await hub.measurements.sun(id, 'wall', '2027-06-01')
    expect(moving.possibleSunHours).toBeGreaterThan(possible('2027-06-01', wall))
  }, 20_000)

  it('is not needed where the grower has drawn the skyline', async () => {
    await hub.garden.putDrawnSkyline(id, 'south', {
      points: [],
      fences: [{ heightM: 4, distanceM: 2, directionDeg: 270, leftEndDeg: null, rightEndDeg: null }],
    })
    const [day] = await hub.measurements.days(id, 'south', '2027-06-15', '2027-06-15')
    const fence = (azimuthDeg: number): number =>
      (Math.atan(2 * Math.max(0, Math.cos(((azimuthDeg - 270) * Math.PI) / 180))) * 180) / Math.PI
    expect(day!.sunHours).toBeNull()
    expect(day!.possibleSunHours).toBeGreaterThan(possible('2027-06-15', fence) - 1)
    expect(day!.possibleSunHours).toBeLessThan(possible('2027-06-15', open) - 3)
    await hub.garden.deleteDrawnSkyline(id, 'south')
    const [bare] = await hub.measurements.days(id, 'south', '2027-06-15', '2027-06-15')
    expect(bare!.possibleSunHours).toBe(possible('2027-06-15', open))
  })

  it('is nothing in the first days, when a bed is taken to lie in the open', async () => {
    const fromMs = NOW_MS - 3 * DAY_MS
    await place('n1', 'wall', fromMs)
    await hub.append(light('n1', wall, 1, fromMs))
    const [day] = await hub.measurements.days(id, 'wall', '2027-06-22', '2027-06-22')
    expect(day!.possibleSunHours).toBe(possible('2027-06-22', open))
    expect(day!.sunHours).toBeGreaterThan(3)
  })
})
