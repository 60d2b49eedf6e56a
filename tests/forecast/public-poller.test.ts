import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { metNorway } from '../../hub/forecast/met-norway.js'
import type { Pauses } from '../../hub/forecast/public-poller.js'
import { airTempC, type ForecastFixture, HOME, HOUR_MS, openForecasts } from './forecast-fixture.js'
import { metNorwayAnswer, openWeatherService, type Reply, type WeatherService } from './weather-service.js'

const NOW_MS = Date.parse('2027-06-15T10:00:00Z')
/** So short that a test need not wait; the one that must not pass in a test is long. */
const QUICK: Pauses = {
  leastMs: 5,
  mostMs: 50,
  usualMs: 20,
  firstRetryMs: 5,
  refusedMs: 10 * HOUR_MS,
  patienceMs: 2_000,
}
const PATIENT: Pauses = { ...QUICK, leastMs: HOUR_MS, mostMs: 6 * HOUR_MS, usualMs: HOUR_MS }

let service: WeatherService
let hub: ForecastFixture | null = null
beforeEach(async () => {
  service = await openWeatherService()
})
afterEach(async () => {
  await hub?.close()
  hub = null
  await service.close()
})

const open = async (pauses: Pauses): Promise<ForecastFixture> => {
  hub = await openForecasts(NOW_MS, {
    pauses,
    source: (now) => metNorway({ userAgent: 'hearting/0.1 (me@example.org)', now, baseUrl: service.baseUrl }),
  })
  return hub
}
const temps = Array.from({ length: 72 }, (_, hour) => Math.round(airTempC(NOW_MS + hour * HOUR_MS) * 10) / 10)
const good = (issuedAtMs = NOW_MS - HOUR_MS): Reply => ({
  headers: {
    expires: new Date(NOW_MS + HOUR_MS).toUTCString(),
    'last-modified': new Date(issuedAtMs).toUTCString(),
  },
  body: metNorwayAnswer(issuedAtMs, NOW_MS, temps),
})
const status = () => hub!.forecasts.publicStatus('home')

describe('a service that is switched on', () => {
  it('is asked at once, and then not before its answer expires', async () => {
    service.answer(() => good())
    await open(PATIENT)
    await hub!.forecasts.start()
    await vi.waitFor(async () => expect(await status()).toMatchObject({ state: 'fresh', problem: null }))
    const one = await status()
    expect(one).toMatchObject({ source: 'met-norway', issuedAtMs: NOW_MS - HOUR_MS, fetchedAtMs: NOW_MS })
    expect(one!.points).toHaveLength(72)
    expect(one!.nextTryAtMs! - NOW_MS).toBeGreaterThanOrEqual(HOUR_MS)
    expect(one!.nextTryAtMs! - NOW_MS).toBeLessThanOrEqual(1.1 * HOUR_MS)
    expect(service.asked).toHaveLength(1)
  })

  it('is not asked again by a restart while its answer holds', async () => {
    service.answer(() => good())
    await open(PATIENT)
    await hub!.forecasts.start()
    await vi.waitFor(async () => expect((await status())?.state).toBe('fresh'))
    const again = hub!.restart()
    await again.start()
    expect((await again.publicStatus('home'))!.nextTryAtMs! - NOW_MS).toBeGreaterThanOrEqual(HOUR_MS)
    expect(service.asked).toHaveLength(1)
  })

  it('is shown what it gave, and keeps its word when nothing has changed', async () => {
    service.answer(() => good())
    await open(QUICK)
    await hub!.forecasts.start()
    await vi.waitFor(async () => expect((await status())?.state).toBe('fresh'))
    service.answer(() => ({ status: 304 }))
    const before = service.asked.length
    await vi.waitFor(() => expect(service.asked.length).toBeGreaterThan(before + 1))
    expect(service.asked.at(-1)!.headers['if-modified-since']).toBe(new Date(NOW_MS - HOUR_MS).toUTCString())
    expect(await status()).toMatchObject({ state: 'fresh', problem: null })
  })

  it('that is down is asked again and again; the last good forecast stays, with its age and the trouble', async () => {
    service.answer(() => good())
    await open(QUICK)
    await hub!.forecasts.start()
    await vi.waitFor(async () => expect((await status())?.state).toBe('fresh'))
    service.answer(() => ({ status: 503 }))
    await vi.waitFor(async () => expect((await status())?.problem).toContain('status 503'))
    const before = service.asked.length
    await vi.waitFor(() => expect(service.asked.length).toBeGreaterThan(before + 2))
    expect(await status()).toMatchObject({ state: 'fresh', issuedAtMs: NOW_MS - HOUR_MS })
    // one trouble is told once, however often it is met
    expect(hub!.warned).toEqual(['MET Norway answered with status 503'])
    service.answer(() => good())
    await vi.waitFor(async () => expect((await status())?.problem).toBeNull())
  })

  it('that turns the hub away is left in peace', async () => {
    service.answer(() => ({ status: 403 }))
    await open(QUICK)
    await hub!.forecasts.start()
    await vi.waitFor(async () => expect((await status())?.problem).toContain('turns this hub away'))
    const one = await status()
    expect(one).toMatchObject({ state: 'waiting', points: [] })
    expect(one!.nextTryAtMs! - NOW_MS).toBeGreaterThan(7 * HOUR_MS)
    expect(service.asked).toHaveLength(1)
  })

  it('that names a time to wait is given it', async () => {
    service.answer(() => ({ status: 429, headers: { 'retry-after': '7200' } }))
    await open(QUICK)
    await hub!.forecasts.start()
    await vi.waitFor(async () => expect((await status())?.problem).toContain('asked too often'))
    expect((await status())!.nextTryAtMs! - NOW_MS).toBeGreaterThanOrEqual(2 * HOUR_MS)
    expect(service.asked).toHaveLength(1)
  })

  it.each([
    ['lies about the time', () => good(NOW_MS + 5 * HOUR_MS), 'made in the future'],
    [
      'hangs on one value',
      () => ({
        body: metNorwayAnswer(
          NOW_MS,
          NOW_MS,
          temps.map(() => 12),
        ),
      }),
      'seems to hang',
    ],
    [
      'mixes up units',
      () => ({
        body: metNorwayAnswer(
          NOW_MS,
          NOW_MS,
          temps.map((c) => c + 273),
        ),
      }),
      '°C',
    ],
    ['is slow', (): Reply => ({ hangs: true }), 'did not answer in time'],
    ['sends something else', (): Reply => ({ body: 'soon back' }), 'not JSON'],
  ])('that %s is not listened to', async (_what, reply, problem) => {
    service.answer(reply)
    await open({ ...QUICK, patienceMs: 200 })
    await hub!.forecasts.start()
    await vi.waitFor(async () => expect((await status())?.problem).toContain(problem), 5_000)
    expect(await status()).toMatchObject({ state: 'waiting' })
    expect((await hub!.forecasts.ahead(HOME, 'south')).words).toContain(problem)
  })

  it('is asked for a garden that is set up or moved later', async () => {
    service.answer(() => good())
    await open(PATIENT)
    await hub!.forecasts.start()
    await vi.waitFor(() => expect(service.asked).toHaveLength(1))
    await vi.waitFor(async () => expect((await status())?.state).toBe('fresh'))
    const { id, ...place } = HOME
    await hub!.garden.putGarden(id, { ...place, latitudeDeg: 57 })
    hub!.forecasts.gardenChanged('home')
    await vi.waitFor(() => expect(service.asked).toHaveLength(2))
    expect(service.asked[1]!.url).toContain('lat=57&')
    // an answer about another place is nothing to show
    expect(service.asked[1]!.headers['if-modified-since']).toBeUndefined()
  })
})
