import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { BedAhead } from '../../hub/forecast/port.js'
import {
  airReadings,
  airTempC,
  DAY_MS,
  type ForecastFixture,
  HOME,
  HOUR_MS,
  openForecasts,
} from './forecast-fixture.js'

const NOW_MS = Date.parse('2027-06-15T10:00:00Z')
let hub: ForecastFixture
beforeEach(async () => {
  hub = await openForecasts(NOW_MS)
})
afterEach(() => hub.close())

const ahead = (): Promise<BedAhead> => hub.forecasts.ahead(HOME, 'south')
const figures = ({ forecast }: BedAhead) =>
  forecast?.days.map(({ date, maxC, minC }) => [date, maxC.meanC, maxC.sdC, minC.meanC, minC.sdC])

/** Points of a public forecast, hour by hour. */
const points = (fromMs: number, hours: number, valueAt: (timeMs: number) => number = airTempC) =>
  Array.from({ length: hours }, (_, hour) => ({
    validAtMs: fromMs + hour * HOUR_MS,
    airTempC: Math.round(valueAt(fromMs + hour * HOUR_MS) * 10) / 10,
  }))

describe('a bed without readings', () => {
  it('has no forecast, and says why', async () => {
    expect(await ahead()).toMatchObject({ forecast: null, isFresh: false })
    expect((await ahead()).words).toContain('No day has been measured whole in this bed yet')
    expect((await ahead()).spellOdds(27, 3)).toBeNull()
  })
})

describe('the forecast from a bed’s own days', () => {
  it('speaks of today and the three days after, from the readings up to now', async () => {
    await hub.store(airReadings(NOW_MS - 40 * DAY_MS, NOW_MS))
    const one = await ahead()
    expect(one).toMatchObject({ isFresh: true, isFirstSeason: true, publicSource: null })
    expect(one.forecast).toMatchObject({ source: 'bed', restsOn: 39 })
    expect(one.forecast?.days.map(({ date, leadDays }) => [date, leadDays])).toEqual([
      ['2027-06-15', 0],
      ['2027-06-16', 1],
      ['2027-06-17', 2],
      ['2027-06-18', 3],
    ])
    expect(one.words).toBe('From this bed’s own readings over 39 measured days.')
    expect(one.spellOdds(27, 3)?.reachedBy).toHaveLength(4)
  })

  it('takes yesterday in from midnight on, and again when the rest of it comes in', async () => {
    const midnightMs = Date.parse('2027-06-14T22:00:00Z')
    hub.nowMs = midnightMs + 30 * 60_000
    await hub.store(airReadings(midnightMs - 30 * DAY_MS, midnightMs - 3 * HOUR_MS))
    const early = await ahead()
    await hub.store(airReadings(midnightMs - 3 * HOUR_MS, hub.nowMs, () => 30))
    const late = await ahead()
    expect(early.forecast!.days[0]!.date).toBe('2027-06-15')
    expect(late.forecast!.days[0]!.maxC.meanC).toBeGreaterThan(early.forecast!.days[0]!.maxC.meanC + 1)
  })

  it('is the same whether readings came in time, late, or before a restart', async () => {
    const fromMs = NOW_MS - 30 * DAY_MS
    const all = airReadings(fromMs, NOW_MS)
    const isLate = ({ timeMs }: { timeMs: number }) =>
      timeMs > NOW_MS - 12 * DAY_MS && timeMs < NOW_MS - 8 * DAY_MS
    await hub.store(all.filter((reading) => !isLate(reading)))
    const without = figures(await ahead())
    await hub.store(all.filter(isLate))
    const after = figures(await ahead())
    expect(after).not.toEqual(without)
    expect(figures(await hub.restart().ahead(HOME, 'south'))).toEqual(after)

    const inTime = await openForecasts(NOW_MS - 9 * DAY_MS)
    try {
      await inTime.store(all.filter(({ timeMs }) => timeMs < inTime.nowMs))
      await inTime.forecasts.ahead(HOME, 'south')
      inTime.nowMs = NOW_MS
      await inTime.store(all.filter(({ timeMs }) => timeMs >= NOW_MS - 9 * DAY_MS))
      expect(figures(await inTime.forecasts.ahead(HOME, 'south'))).toEqual(after)
    } finally {
      await inTime.close()
    }
  })

  it('finds after a crash that readings came in which it had not taken in', async () => {
    const all = airReadings(NOW_MS - 30 * DAY_MS, NOW_MS)
    const isLate = ({ timeMs }: { timeMs: number }) =>
      timeMs > NOW_MS - 6 * DAY_MS && timeMs < NOW_MS - 4 * DAY_MS
    await hub.store(all.filter((reading) => !isLate(reading)))
    await ahead()
    // the service that is to forget the late days never hears of them
    const { readingsStored } = hub.forecasts
    hub.forecasts.readingsStored = () => {}
    await hub.store(all.filter(isLate))
    hub.forecasts.readingsStored = readingsStored
    const fresh = await hub.restart().ahead(HOME, 'south')
    expect(fresh.forecast?.restsOn).toBe(29)
  })

  it('begins anew when the node is moved', async () => {
    await hub.store(airReadings(NOW_MS - 30 * DAY_MS, NOW_MS))
    expect((await ahead()).forecast?.restsOn).toBe(29)
    const [placement] = await hub.garden.listPlacements('home', 'south')
    await hub.garden.changePlacement('home', { ...placement!, fromMs: NOW_MS - 10 * DAY_MS })
    expect((await ahead()).forecast?.restsOn).toBe(9)
  })

  it('grows less sure without readings, and after some days is not fit to warn by', async () => {
    await hub.store(airReadings(NOW_MS - 30 * DAY_MS, NOW_MS))
    const before = await ahead()
    hub.nowMs = NOW_MS + 2 * DAY_MS
    const after = await ahead()
    expect(after.forecast!.days[1]!.maxC.sdC).toBeGreaterThan(before.forecast!.days[1]!.maxC.sdC)
    expect(after).toMatchObject({ isFresh: true })
    expect(after.words).toContain('no day has been measured whole for 2 days, so it is less sure')
    hub.nowMs = NOW_MS + 8 * DAY_MS
    const week = await ahead()
    expect(week.isFresh).toBe(false)
    expect(week.words).toContain('usual for the time of year, as no day has been measured whole for 8 days')
  })

  it('stands on normals where they are typed in', async () => {
    await hub.store(airReadings(NOW_MS - 5 * DAY_MS, NOW_MS))
    const guess = figures(await ahead())
    const warm = Array.from({ length: 12 }, () => 25)
    await hub.garden.putTemperatureNormals('home', {
      minC: warm,
      maxC: warm.map((c) => c + 10),
      source: null,
    })
    const normal = figures(await ahead())
    expect(Number(normal![3]![1])).toBeGreaterThan(Number(guess![3]![1]) + 1)
  })
})

describe('a public forecast', () => {
  const send = (issuedAtMs: number, valueAt = airTempC, source = 'my own') =>
    hub.forecasts.take('home', {
      source,
      attribution: 'by me',
      issuedAtMs,
      points: points(issuedAtMs, 120, valueAt),
    })

  it('is corrected to the bed as days show how they differ', async () => {
    // the bed is four degrees warmer than its region
    const region = (timeMs: number): number => airTempC(timeMs) - 4
    const startMs = NOW_MS - 16 * DAY_MS
    await hub.store(airReadings(startMs - 5 * DAY_MS, startMs))
    for (let day = 0; day <= 16; day++) {
      hub.nowMs = startMs + day * DAY_MS
      expect(await send(hub.nowMs, region)).toBeNull()
      await ahead()
      if (day < 16) await hub.store(airReadings(hub.nowMs, hub.nowMs + DAY_MS))
    }
    const one = await ahead()
    expect(one.forecast?.source).toBe('public')
    expect(one.publicSource).toEqual({ name: 'my own', attribution: 'by me' })
    expect(one.words).toMatch(
      /^From the public forecast of my own, issued 1 minute ago, corrected to this bed from \d+ days/,
    )
    const tomorrow = one.forecast!.days[1]!
    const truthC = Math.max(
      ...airReadings(Date.parse('2027-06-15T22:00:00Z'), Date.parse('2027-06-16T22:00:00Z')).map(
        (r) => r.value,
      ),
    )
    expect(Math.abs(tomorrow.maxC.meanC - truthC)).toBeLessThan(1)
  })

  it('is kept over a restart with what was learned from it', async () => {
    await hub.store(airReadings(NOW_MS - 20 * DAY_MS, NOW_MS))
    await send(NOW_MS)
    const before = figures(await ahead())
    const again = hub.restart()
    expect(figures(await again.ahead(HOME, 'south'))).toEqual(before)
    expect(await again.publicStatus('home')).toMatchObject({
      source: 'my own',
      state: 'fresh',
      issuedAtMs: NOW_MS,
    })
  })

  it('no longer speaks when it is a day old, and is told as what it is', async () => {
    await hub.store(airReadings(NOW_MS - 20 * DAY_MS, NOW_MS))
    await send(NOW_MS)
    hub.nowMs = NOW_MS + 30 * HOUR_MS
    await hub.store(airReadings(NOW_MS, hub.nowMs))
    const one = await ahead()
    expect(one.forecast?.source).toBe('bed')
    expect(one.words).toContain(
      'The public forecast of my own is 30 hours old: after a day it is no longer listened to.',
    )
    expect(await hub.forecasts.publicStatus('home')).toMatchObject({ state: 'stale' })
  })

  it('of another source begins to be corrected anew', async () => {
    await hub.store(airReadings(NOW_MS - 10 * DAY_MS, NOW_MS))
    await send(NOW_MS - 9 * DAY_MS).catch(() => {})
    hub.nowMs = NOW_MS
    await send(NOW_MS - HOUR_MS, airTempC, 'first')
    await ahead()
    hub.nowMs = NOW_MS + 30 * HOUR_MS
    await hub.store(airReadings(NOW_MS, hub.nowMs))
    await send(hub.nowMs, airTempC, 'second')
    const one = await ahead()
    const kept = JSON.parse((await hub.garden.bedForecast('home', 'south'))!.state)
    expect(kept.publicSource).toBe('second')
    expect(kept.state.regional.hourly.leads[0].verified).toBe(0)
    if (one.forecast?.source === 'public') expect(one.publicSource?.name).toBe('second')
  })

  it.each([
    ['from the future', NOW_MS + HOUR_MS, points(NOW_MS, 48), 'made in the future'],
    [
      'of the past only',
      NOW_MS - 90 * HOUR_MS,
      points(NOW_MS - 90 * HOUR_MS, 48),
      'nothing of the days to come',
    ],
    ['in other units', NOW_MS, points(NOW_MS, 48, () => 290), '290 °C'],
    ['that hangs', NOW_MS, points(NOW_MS, 48, () => 14), 'hang'],
  ])('%s is not taken', async (_what, issuedAtMs, sent, why) => {
    const answer = await hub.forecasts.take('home', {
      source: 'x',
      attribution: null,
      issuedAtMs,
      points: sent,
    })
    expect(answer).toContain(why)
    expect(await hub.forecasts.publicStatus('home')).toBeNull()
  })

  it('older than the one known is not taken', async () => {
    expect(await send(NOW_MS - HOUR_MS)).toBeNull()
    expect(await send(NOW_MS - 2 * HOUR_MS)).toBe('it is older than the one known, issued 60 minutes ago')
  })
})
