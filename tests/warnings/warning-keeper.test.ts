import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest'
import { haurwitzWm2 } from '../../hub/core/sun/clear-sky.js'
import { sunPosition } from '../../hub/core/sun/position.js'
import type { StoredWarning } from '../../hub/garden/port.js'
import type { Reading } from '../../hub/store/port.js'
import type { Rule } from '../../hub/warnings/rule.js'
import { createWarningKeeper, RULES, type WarningKeeper } from '../../hub/warnings/warning-keeper.js'
import {
  addGarden,
  type BedFixture,
  COPENHAGEN,
  DAY_MS,
  HOUR_MS,
  openBedFixture,
  readingsEvery,
} from '../garden/bed-fixture.js'
import { bedLux } from '../garden/made-light.js'

const MINUTE_MS = 60_000
/** 22:00 in the garden */
const EVENING_MS = Date.parse('2027-04-20T20:00:00Z')

interface Told {
  readonly warnings: StoredWarning[]
  readonly messages: { bed: string; kind: string; payload: string }[]
  readonly errors: unknown[]
}

let hub: BedFixture
let told: Told
let keeper: WarningKeeper
/** each test has a garden of its own in the one hub */
let id: string
let gardens = 0
const keepers: WarningKeeper[] = []

function startKeeper(rules: readonly Rule[] = RULES): WarningKeeper {
  told = { warnings: [], messages: [], errors: [] }
  const { warnings, messages, errors } = told
  const made = createWarningKeeper({
    garden: hub.garden,
    measurements: hub.measurements,
    store: hub.store,
    now: () => hub.nowMs,
    onChange: (garden, warning) => {
      if (garden === id) warnings.push(warning)
    },
    onMessage: (garden, bed, kind, payload) => {
      if (garden === id) messages.push({ bed, kind, payload })
    },
    log: { error: (details: unknown) => errors.push(details) },
    rules,
  })
  keepers.push(made)
  return made
}

beforeAll(async () => {
  hub = await openBedFixture(EVENING_MS)
})
afterAll(() => hub.close())
beforeEach(async () => {
  hub.nowMs = EVENING_MS
  id = `g${gardens++}`
  await addGarden(hub.garden, id)
  await hub.garden.addPlacement(id, {
    node: 'n1',
    bed: 'south',
    fromMs: EVENING_MS - 30 * DAY_MS,
    toMs: null,
  })
  keeper = startKeeper()
})
afterEach(() => Promise.all(keepers.splice(0).map((k) => k.close())))

/** Readings of this test's garden at even spacing. */
const readings = (
  spacingMs: number,
  fromMs: number,
  toMs: number,
  node: string,
  courses: Parameters<typeof readingsEvery>[4],
): Reading[] => readingsEvery(spacingMs, fromMs, toMs, node, courses, id)

/** Stores air readings of the hour before now and moves the clock there. */
async function airAt(nowMs: number, airC: number): Promise<void> {
  hub.nowMs = nowMs
  await hub.append(readings(5 * MINUTE_MS, nowMs - HOUR_MS, nowMs + 1, 'n1', { 'air-temp': () => airC }))
}

const kinds = (): string[] => told.warnings.map((w) => `${w.kind}${w.clearedAtMs === null ? '' : ' cleared'}`)

describe('a warning', () => {
  it('is raised once, kept, renewed now and then, and cleared after it has stayed away', async () => {
    await airAt(EVENING_MS, -1)
    await keeper.evaluate(id)
    await keeper.evaluate(id)
    expect(kinds()).toEqual(['frost'])
    expect(await hub.garden.openWarnings(id)).toEqual(told.warnings)

    // numbers change within minutes: told only after a while
    await airAt(EVENING_MS + 5 * MINUTE_MS, -2)
    await keeper.evaluate(id)
    expect(kinds()).toEqual(['frost'])
    await airAt(EVENING_MS + 20 * MINUTE_MS, -2)
    await keeper.evaluate(id)
    expect(kinds()).toEqual(['frost', 'frost'])
    expect(told.warnings[1]).toMatchObject({ id: told.warnings[0]!.id, raisedAtMs: EVENING_MS })
    expect(told.warnings[1]!.why).toContain('−2.0 °C')

    for (let hour = 2; hour <= 5; hour++) {
      await airAt(EVENING_MS + hour * HOUR_MS, 6)
      await keeper.evaluate(id)
    }
    expect(kinds()).toEqual(['frost', 'frost', 'frost cleared'])
    expect(told.warnings[2]!.clearedAtMs).toBe(EVENING_MS + 3 * HOUR_MS)
    expect(await hub.garden.openWarnings(id)).toEqual([])
    expect(told.errors).toEqual([])
  })

  it('does not flap while the air swings about the limit', async () => {
    for (let i = 0; i < 24; i++) {
      await airAt(EVENING_MS + i * 15 * MINUTE_MS, i % 2 === 0 ? 0.3 : 2)
      await keeper.evaluate(id)
    }
    expect(new Set(told.warnings.map((w) => w.id)).size).toBe(1)
    expect(kinds()).not.toContain('frost cleared')
  })

  it('is neither repeated nor forgotten by a restart', async () => {
    await airAt(EVENING_MS, -1)
    await keeper.evaluate(id)
    await hub.garden.markWarningSeen(id, told.warnings[0]!.id, EVENING_MS)
    await keeper.close()

    keeper = startKeeper()
    await keeper.evaluate(id)
    expect(told.warnings).toEqual([])
    // but what others hold retained is put in place again
    expect(told.messages).toMatchObject([{ bed: 'south', kind: 'frost' }])

    await airAt(EVENING_MS + HOUR_MS, 9)
    await keeper.evaluate(id)
    expect(told.warnings).toEqual([])
    await airAt(EVENING_MS + 3 * HOUR_MS, 9)
    await keeper.evaluate(id)
    expect(kinds()).toEqual(['frost cleared'])
    expect(told.warnings[0]!.seenAtMs).toBe(EVENING_MS)
  })

  it('is told at once when it gets worse', async () => {
    const planting = {
      bed: 'south',
      crop: 'lettuce-head',
      variety: null,
      sownOn: null,
      plantedOutOn: '2027-01-01',
      plants: 9,
      spacingM: 0.3,
      finishedOn: null,
    }
    await hub.garden.addPlanting(id, planting)
    await airAt(EVENING_MS, -1)
    await keeper.evaluate(id)
    await airAt(EVENING_MS + MINUTE_MS, -5)
    await hub.append(readings(1, hub.nowMs + 1, hub.nowMs + 2, 'n1', { 'air-temp': () => -5 }))
    hub.nowMs += 1
    await keeper.evaluate(id)
    expect(told.warnings.map((w) => w.severity)).toEqual(['Moderate', 'Severe'])
  })

  it('is put on its bed’s topic for its kind, and taken off when it is cleared', async () => {
    await airAt(EVENING_MS, -1)
    await keeper.evaluate(id)
    expect(told.messages).toHaveLength(1)
    const { bed, kind, payload } = told.messages[0]!
    expect([bed, kind]).toEqual(['south', 'frost'])
    expect(JSON.parse(payload)).toMatchObject([
      { kind: 'frost', bed: 'south', certainty: 'Observed', raisedAt: '2027-04-20T22:00:00+02:00' },
    ])
    await airAt(EVENING_MS + 3 * HOUR_MS, 9)
    await keeper.evaluate(id)
    const taken = { bed: 'south', kind: 'frost', payload: '' }
    expect(told.messages.at(-1)).toEqual(taken)

    // again after a restart: the hub may have been stopped before it could say so
    await keeper.close()
    keeper = startKeeper()
    await keeper.evaluate(id)
    expect(told.messages).toEqual([taken])
    await keeper.evaluate(id)
    expect(told.messages).toHaveLength(1)
  })
})

describe('the keeper', () => {
  it('notices a node that falls silent, and its return', async () => {
    hub.nowMs = EVENING_MS + HOUR_MS
    await hub.append(readings(MINUTE_MS, EVENING_MS, EVENING_MS + HOUR_MS, 'n1', { 'air-temp': () => 12 }))
    await keeper.evaluate(id)
    expect(kinds()).toEqual([])
    hub.nowMs += 20 * MINUTE_MS
    await keeper.evaluateAll()
    expect(kinds()).toEqual(['node-silent'])
    hub.nowMs += 7 * HOUR_MS
    await keeper.evaluateAll()
    expect(told.warnings.at(-1)).toMatchObject({ kind: 'node-silent', severity: 'Moderate' })
    await airAt(hub.nowMs + MINUTE_MS, 12)
    await keeper.evaluateAll()
    await airAt(hub.nowMs + 11 * MINUTE_MS, 12)
    await keeper.evaluateAll()
    expect(kinds().at(-1)).toBe('node-silent cleared')
  })

  it('says nothing of a garden that is not set up or has nothing in it', async () => {
    await hub.garden.putGarden('empty', COPENHAGEN)
    await keeper.evaluate('empty')
    await keeper.evaluate('nowhere')
    expect([kinds(), told.errors]).toEqual([[], []])
  })

  it('keeps warnings of a rule that fails, goes on with the others, and logs why', async () => {
    await airAt(EVENING_MS, -1)
    await keeper.evaluate(id)
    await keeper.close()
    const failing = RULES.map((rule) =>
      rule.name === 'frost'
        ? {
            ...rule,
            find: () => {
              throw new Error('broken rule')
            },
          }
        : rule,
    )
    keeper = startKeeper(failing)
    await airAt(EVENING_MS + 10 * HOUR_MS, 15)
    hub.nowMs += HOUR_MS
    await keeper.evaluate(id)
    expect(kinds()).toEqual(['node-silent'])
    expect(told.errors).toHaveLength(1)
    expect(await hub.garden.openWarnings(id)).toHaveLength(2)
  })

  it('never rejects when the databases are gone', async () => {
    const shared = hub
    hub = await openBedFixture(EVENING_MS)
    keeper = startKeeper()
    await hub.garden.close()
    await keeper.evaluate('home')
    await keeper.evaluateAll()
    expect(told.errors).toHaveLength(2)
    expect(kinds()).toEqual([])
    await hub.close()
    hub = shared
  })

  it('looks once a minute while readings come, but within seconds of what the grower changes', async () => {
    let looks = 0
    const counting: Rule = {
      ...RULES[0]!,
      find() {
        looks++
        return []
      },
    }
    keeper = startKeeper([counting])
    await keeper.evaluate(id)
    const stored = {
      readings: readings(1, EVENING_MS, EVENING_MS + 1, 'n1', { 'air-temp': () => 1 }),
      receivedAtMs: EVENING_MS,
    }
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'performance'] })
    try {
      // a look asked for here begins after those under way, so that these are counted
      const looksAfter = async (ms: number): Promise<number> => {
        vi.advanceTimersByTime(ms)
        await keeper.evaluate(id)
        return --looks
      }
      expect(await looksAfter(0)).toBe(1)
      keeper.readingsStored(stored)
      expect(await looksAfter(5_000)).toBe(1)
      keeper.gardenChanged(id)
      keeper.gardenChanged(id)
      expect(await looksAfter(2_000)).toBe(1)
      expect(await looksAfter(1_000)).toBe(2)
      keeper.readingsStored(stored)
      expect(await looksAfter(30_000)).toBe(2)
      expect(await looksAfter(40_000)).toBe(3)
    } finally {
      vi.useRealTimers()
    }
  })

  it('looks at a garden soon after readings, and not after it was closed', async () => {
    const stored = {
      readings: readings(1, EVENING_MS, EVENING_MS + 1, 'n1', { 'air-temp': () => 1 }),
      receivedAtMs: EVENING_MS,
    }
    keeper.readingsStored(stored)
    await keeper.close()
    keeper.readingsStored(stored)
    await keeper.evaluate(id)
    expect(kinds()).toEqual([])
  })
})

describe('from readings to warning', () => {
  it('a warm spell reaches the planting that is heading', async () => {
    const planting = await hub.garden.addPlanting(id, {
      bed: 'south',
      crop: 'cabbage-early',
      variety: 'Pointed',
      sownOn: null,
      plantedOutOn: '2027-05-01',
      plants: 9,
      spacingM: 0.4,
      finishedOn: null,
    })
    const fromMs = Date.parse('2027-04-30T22:00:00Z')
    const hotFromMs = Date.parse('2027-06-14T22:00:00Z')
    const nowMs = hotFromMs + 3 * DAY_MS - 2 * HOUR_MS
    const course = (t: number): number => {
      const swing = 7 * Math.sin(((t - fromMs) / DAY_MS) * 2 * Math.PI - 2.1)
      return (t < hotFromMs ? 16 : 23.5) + swing
    }
    hub.nowMs = nowMs
    await hub.append(readings(10 * MINUTE_MS, fromMs, nowMs, 'n1', { 'air-temp': course }))
    const progress = await hub.measurements.progress(id, planting)
    expect(progress.stage).toBe('heading')

    await keeper.evaluate(id)
    expect(kinds()).toEqual(['warm-spell'])
    const spell = told.warnings.find((w) => w.kind === 'warm-spell')!
    expect(spell).toMatchObject({ bed: 'south', planting: planting.id, severity: 'Severe' })
    expect(spell.headline).toBe('Warm spell in south while early cabbage ‘Pointed’ forms its head')
    expect(spell.why).toContain('3 days in a row above 27.0 °C up to today, the hottest 30.5 °C')
    // finished: it is no worry any more
    await hub.garden.changePlanting(id, planting.id, { ...planting, finishedOn: '2027-06-17' })
    hub.nowMs += 13 * HOUR_MS
    await hub.append(readings(10 * MINUTE_MS, nowMs, hub.nowMs, 'n1', { 'air-temp': course }))
    await keeper.evaluate(id)
    expect((await hub.garden.openWarnings(id)).map((w) => w.kind)).toEqual([])
  })

  it('a bed behind a wall is found short of sun, the open one beside it is not', async () => {
    await hub.garden.addPlacement(id, {
      node: 'n2',
      bed: 'wall',
      fromMs: EVENING_MS - 30 * DAY_MS,
      toMs: null,
    })
    const place = COPENHAGEN
    const lux =
      (opening: number) =>
      (t: number): number => {
        const { elevationDeg, azimuthDeg } = sunPosition(t, place)
        const isCloudy = Math.floor(t / DAY_MS) % 3 === 0
        return 107 * haurwitzWm2(elevationDeg) * (isCloudy || azimuthDeg > opening ? 0.15 : 1)
      }
    const fromMs = EVENING_MS - 22 * DAY_MS
    await hub.append(readings(10 * MINUTE_MS, fromMs, EVENING_MS, 'n1', { light: lux(360) }))
    await hub.append(readings(10 * MINUTE_MS, fromMs, EVENING_MS, 'n2', { light: lux(150) }))
    await keeper.evaluate(id)
    expect(told.warnings).toMatchObject([{ kind: 'short-sun', bed: 'wall' }])
    const { why } = told.warnings[0]!
    expect(why).toMatch(/Under a clear sky it can have 5\.\d h today \([45]\.\d to 5\.\d\)/)
    // the sun passes 150° before noon by the clock
    expect(why).toMatch(
      /It loses the sun from 1[12]:\d\d on, from the south-south-east to the west-north-west/,
    )
  })

  it('a leaf on the dome of a light sensor is noticed, and a clock an hour ahead', async () => {
    const fromMs = EVENING_MS - 45 * DAY_MS
    await hub.garden.addPlacement(id, { node: 'n2', bed: 'wall', fromMs, toMs: null })
    const leafMs = EVENING_MS - 14 * DAY_MS
    const open = bedLux(COPENHAGEN, () => 0)
    const fouled = (t: number): number => Math.round(open(t) * (t < leafMs ? 1 : 0.65))
    const ahead = (t: number): number => open(t - HOUR_MS)
    await hub.append(readings(10 * MINUTE_MS, EVENING_MS - 29 * DAY_MS, EVENING_MS, 'n1', { light: ahead }))
    await hub.append(readings(10 * MINUTE_MS, fromMs, EVENING_MS, 'n2', { light: fouled }))
    await keeper.evaluate(id)
    const found = told.warnings.filter((w) => w.kind === 'sensor-fault')
    expect(found.map((w) => [w.node, w.cause.split('/').at(-1)]).sort()).toEqual([
      ['n1', 'clock-offset'],
      ['n2', 'light-gain'],
    ])
    expect(found.find((w) => w.node === 'n2')!.headline).toMatch(/reads 3\d % less than before/)
  })
})
