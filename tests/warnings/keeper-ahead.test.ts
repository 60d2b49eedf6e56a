/** From readings in a real store, through a bed's forecast, to warnings that come before the weather. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { createForecastService, type ForecastService } from '../../hub/forecast/forecast-service.js'
import type { StoredWarning } from '../../hub/garden/port.js'
import { createWarningKeeper, type WarningKeeper } from '../../hub/warnings/warning-keeper.js'
import { JournalInput } from '../../shared/api/journal.js'
import type { WarningKind } from '../../shared/api/warnings.js'
import { type BedFixture, DAY_MS, HOUR_MS, openBedFixture, readingsEvery } from '../garden/bed-fixture.js'

/** 20:00 in the garden */
const NOW_MS = Date.parse('2027-06-20T18:00:00Z')
const HALF_HOUR_MS = HOUR_MS / 2

let hub: BedFixture
let forecasts: ForecastService
let keeper: WarningKeeper
let errors: unknown[]

beforeEach(async () => {
  hub = await openBedFixture(NOW_MS)
  await hub.garden.addPlacement('home', {
    node: 'n1',
    bed: 'south',
    fromMs: NOW_MS - 60 * DAY_MS,
    toMs: null,
  })
  const now = () => hub.nowMs
  errors = []
  const log = { info: () => {}, warn: () => {}, error: (about: unknown) => errors.push(about) }
  forecasts = createForecastService({
    garden: hub.garden,
    measurements: hub.measurements,
    now,
    log,
    source: null,
  })
  keeper = createWarningKeeper({
    garden: hub.garden,
    measurements: hub.measurements,
    store: hub.store,
    forecasts,
    now,
    onChange: () => {},
    onMessage: () => {},
    log,
  })
})
afterEach(async () => {
  expect(errors).toEqual([])
  await keeper.close()
  await forecasts.close()
  await hub.close()
})

/** A daily wave; its mean strays from day to day as weather does. */
const course =
  (meanC: number, swingC: number, strayC = 0) =>
  (timeMs: number) => {
    const days = timeMs / DAY_MS
    const stray = strayC * (Math.sin(Math.floor(days) * 12.9898) + Math.sin(Math.floor(days) * 4.1))
    return meanC + stray + swingC * Math.sin(2 * Math.PI * (days - 0.4))
  }

/** Readings over days around a daily wave. */
const air = (fromMs: number, toMs: number, meanC: number, swingC = 5): Promise<void> =>
  hub.append(readingsEvery(HALF_HOUR_MS, fromMs, toMs, 'n1', { 'air-temp': course(meanC, swingC, 4) }))

const plant = async (parts: object = {}): Promise<string> => {
  const planting = {
    bed: 'south',
    crop: 'cabbage-early',
    variety: null,
    sownOn: null,
    plantedOutOn: '2027-04-25',
    plants: 8,
    spacingM: 0.4,
    finishedOn: null,
    ...parts,
  }
  return (await hub.garden.addPlanting('home', planting)).id
}

const openKinds = async (): Promise<string[]> =>
  (await hub.garden.openWarnings('home')).map((warning) => warning.kind).sort()
const openOf = async (kind: WarningKind): Promise<StoredWarning | undefined> =>
  (await hub.garden.openWarnings('home')).find((warning) => warning.kind === kind)

/** A public forecast with these maxima on the coming days, as somebody's own source sends it. */
const sendForecast = (maximaC: readonly number[]): Promise<string | null> =>
  forecasts.take('home', {
    source: 'own',
    attribution: null,
    issuedAtMs: hub.nowMs,
    points: Array.from({ length: maximaC.length * 24 }, (_, hour) => {
      const validAtMs = Math.ceil(hub.nowMs / HOUR_MS) * HOUR_MS + hour * HOUR_MS
      const maxC = maximaC[Math.floor(hour / 24)]!
      return { validAtMs, airTempC: Math.round(course(maxC - 5, 5)(validAtMs) * 10) / 10 }
    }),
  })

const seeHeadsStart = (planting: string) =>
  hub.garden.writeJournal(
    'home',
    `heads-of-${planting}`,
    JournalInput.parse({ kind: 'heads-started', on: '2027-06-18', planting }),
    hub.nowMs,
  )

describe('a hot spell that a forecast brings', () => {
  it('is warned of while it is still cool, and the warning becomes measured when it comes', async () => {
    await air(NOW_MS - 56 * DAY_MS, NOW_MS, 14)
    const id = await plant()
    await seeHeadsStart(id)
    await keeper.evaluate('home')
    expect(await openKinds()).toEqual([])

    expect(await sendForecast([33, 33, 33, 33, 33])).toBeNull()
    await keeper.evaluate('home')
    const ahead = (await openOf('warm-spell'))!
    expect(ahead).toMatchObject({ certainty: 'Likely', urgency: 'Future', bed: 'south', planting: id })
    expect(ahead.chance).toBeGreaterThan(0.5)
    expect(ahead.onsetMs).toBeLessThan(ahead.expiresMs!)
    expect(ahead.why).toContain('From the public forecast of own')

    hub.nowMs = NOW_MS + 4 * DAY_MS
    await air(NOW_MS, hub.nowMs, 34)
    await keeper.evaluate('home')
    const come = (await openOf('warm-spell'))!
    expect(come).toMatchObject({ id: ahead.id, certainty: 'Observed', chance: null, onsetMs: null })
  })

  it('is no longer warned of when the forecast is a day old', async () => {
    await air(NOW_MS - 56 * DAY_MS, NOW_MS, 14)
    const id = await plant()
    await seeHeadsStart(id)
    await sendForecast([33, 33, 33, 33, 33])
    await keeper.evaluate('home')
    expect(await openKinds()).toEqual(['warm-spell'])
    hub.nowMs = NOW_MS + 40 * HOUR_MS
    await air(NOW_MS, hub.nowMs, 14)
    await keeper.evaluate('home')
    expect(await openKinds()).toEqual([])
  })
})

describe('muting', () => {
  it('ends a planting’s warnings of a kind at once, and brings them back when it is lifted', async () => {
    await air(NOW_MS - 56 * DAY_MS, NOW_MS, 14)
    const id = await plant()
    await seeHeadsStart(id)
    await sendForecast([33, 33, 33, 33, 33])
    await keeper.evaluate('home')
    expect(await openKinds()).toEqual(['warm-spell'])
    await hub.garden.putMutes('home', id, ['warm-spell'])
    await keeper.evaluate('home')
    expect(await openKinds()).toEqual([])
    await hub.garden.putMutes('home', id, ['frost'])
    await keeper.evaluate('home')
    expect(await openKinds()).toEqual(['warm-spell'])
  })

  it('of one planting leaves the others in its bed their warnings', async () => {
    await air(NOW_MS - 56 * DAY_MS, NOW_MS, 14)
    const muted = await plant()
    const other = await plant({ crop: 'broccoli' })
    for (const id of [muted, other]) {
      await seeHeadsStart(id)
    }
    await hub.garden.putMutes('home', muted, ['warm-spell'])
    await sendForecast([33, 33, 33, 33, 33])
    await keeper.evaluate('home')
    expect(await openOf('warm-spell')).toMatchObject({ planting: other })
  })
})

describe('doses and sowings', () => {
  it('of plants that had weeks of chill are warned of', async () => {
    hub.nowMs = Date.parse('2027-05-20T12:00:00Z')
    await hub.garden.addPlacement('home', {
      node: 'n2',
      bed: 'wall',
      fromMs: hub.nowMs - 90 * DAY_MS,
      toMs: null,
    })
    const warm = readingsEvery(HALF_HOUR_MS, hub.nowMs - 60 * DAY_MS, hub.nowMs - 20 * DAY_MS, 'n2', {
      'air-temp': course(15, 4),
    })
    const cold = readingsEvery(HALF_HOUR_MS, hub.nowMs - 20 * DAY_MS, hub.nowMs, 'n2', {
      'air-temp': course(5, 3),
    })
    await hub.append([...warm, ...cold])
    await plant({ bed: 'wall', plantedOutOn: '2027-03-22' })
    await keeper.evaluate('home')
    const warning = (await openOf('cold-bolting'))!
    expect(warning.why).toMatch(/^(19|20)(\.\d)? days of full chill/)
  })

  it('in soil too cold are warned of before the seed is in the ground', async () => {
    await hub.append(
      readingsEvery(HALF_HOUR_MS, NOW_MS - 4 * DAY_MS, NOW_MS, 'n1', {
        'soil-temp': course(6, 1),
        'air-temp': course(14, 4),
      }),
    )
    await plant({ crop: 'lettuce-leaf', plantedOutOn: null, sownOn: '2027-06-23' })
    const celery = await plant({ crop: 'celery', plantedOutOn: null, sownOn: '2027-06-22' })
    await keeper.evaluate('home')
    const soil = (await hub.garden.openWarnings('home')).filter(({ kind }) => kind === 'cold-soil')
    expect(errors).toEqual([])
    // lettuce comes up in such soil
    expect(soil.map(({ planting }) => planting)).toEqual([celery])
    expect(soil[0]!.why).toMatch(/^Mean of the last days: [56]\.\d °C/)
  })
})
