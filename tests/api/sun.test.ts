import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { BedSkyline, SunCarpet, SunOutlook, SunPath } from '../../shared/api/sun.js'
import { bedLux } from '../garden/made-light.js'
import { type ApiFixture, COPENHAGEN, LONG_BED, NOW_MS, openApi, readingsOf } from './api-fixture.js'

const SKYLINE = 'gardens/home/beds/long/skyline'
/** five weeks of a sensor that reads a fifth too low, behind a wall from two in the afternoon on */
const DAYS = 35
const wall = (azimuthDeg: number): number => (azimuthDeg > 200 ? 60 : 0)

let api: ApiFixture
beforeAll(async () => {
  api = await openApi()
  await api.setUpHome()
  const fromMs = NOW_MS - DAYS * 86_400_000
  const lux = bedLux(COPENHAGEN, wall, 0.8)
  await api.store(
    readingsOf('light', new Date(fromMs).toISOString(), DAYS * 144, 600, (i) => lux(fromMs + i * 600_000)),
  )
  await api.ask('PUT', 'gardens/home/beds/bare', { ...LONG_BED, name: 'Bare bed' })
})
afterAll(() => api.close())

describe('a bed’s skyline', () => {
  it('is what its light has shown, with what is not known told as such', async () => {
    const { status, body } = await api.ask('GET', SKYLINE)
    expect(status).toBe(200)
    const sky: BedSkyline = body
    expect(sky.azimuthDeg).toHaveLength(120)
    expect(sky.learnedFrom).toMatchObject({ node: 'n1' })
    expect(sky.learnedFrom!.days).toBeGreaterThan(30)
    expect(sky.drawn).toBeNull()
    expect(sky.gain!.gain).toBeGreaterThan(0.6)
    expect(sky.gain!.gain).toBeLessThan(0.95)
    const at = (azimuthDeg: number): number => sky.azimuthDeg.findIndex((a) => a > azimuthDeg)
    expect(sky.elevationDeg[at(150)]).toBeLessThan(10)
    expect(sky.lowDeg[at(240)]).toBeGreaterThan(25)
    // the sun never stands in the north here
    expect(sky.known[0]).toBe(false)
    expect([sky.lowDeg[0], sky.highDeg[0]]).toEqual([0, 90])
  })

  it('of a bed without a sensor is unknown all round', async () => {
    const { body } = await api.ask('GET', 'gardens/home/beds/bare/skyline')
    expect(body).toMatchObject({ learnedFrom: null, gain: null, drawn: null })
    expect(new Set(body.known)).toEqual(new Set([false]))
  })

  it('can be drawn, is heeded at once, and can be taken back', async () => {
    const path = 'gardens/home/beds/bare/skyline'
    const drawing = {
      points: [
        { azimuthDeg: 60, elevationDeg: 10 },
        { azimuthDeg: 120, elevationDeg: 20 },
      ],
      fences: [{ heightM: 3, distanceM: 3, directionDeg: 240, leftEndDeg: 200, rightEndDeg: null }],
    }
    const before = await api.ask('GET', 'gardens/home/beds/bare/sun-path')
    const put = await api.ask('PUT', path, drawing)
    expect(put.status).toBe(200)
    expect(put.body.drawn).toMatchObject(drawing)
    const at = (azimuthDeg: number): number => put.body.azimuthDeg.findIndex((a: number) => a > azimuthDeg)
    expect(put.body.elevationDeg[at(90)]).toBeCloseTo(15, -0.5)
    expect(put.body.drawn.elevationDeg[at(240)]).toBeCloseTo(45, 0)
    expect(put.body.drawn.elevationDeg[at(190)]).toBeNull()
    expect((await api.ask('GET', path)).body).toEqual(put.body)
    const after: SunPath = (await api.ask('GET', 'gardens/home/beds/bare/sun-path')).body
    expect(after.possibleSunHours).toBeLessThan(before.body.possibleSunHours - 2)
    expect(after.lost.some((span) => span.fromAzimuthDeg > 195 && span.fromAzimuthDeg < 250)).toBe(true)
    const outlook = await api.ask('GET', 'gardens/home/beds/bare/sun-outlook?from=2027-06-01&to=2027-06-02')
    expect(outlook.body.skyline).toBe('drawn')
    expect((await api.ask('DELETE', path)).status).toBe(204)
    expect((await api.ask('DELETE', path)).status).toBe(404)
    expect((await api.ask('GET', path)).body.drawn).toBeNull()
  })

  it('that cannot be is refused, field by field', async () => {
    const refused = async (body: unknown): Promise<string[]> => {
      const answer = await api.ask('PUT', SKYLINE, body)
      expect(answer.status).toBe(400)
      return answer.body.problems.map((p: { field: string }) => p.field)
    }
    expect(await refused({ points: [], fences: [] })).toEqual(['points'])
    expect(await refused({ points: [{ azimuthDeg: 10, elevationDeg: 5 }] })).toEqual(['points'])
    expect(await refused({ points: [{ azimuthDeg: 370, elevationDeg: 5 }] })).toEqual(['points.0.azimuthDeg'])
    const fence = { heightM: 2, distanceM: 3, directionDeg: 180, leftEndDeg: 80, rightEndDeg: 300 }
    expect(await refused({ fences: [fence] })).toEqual(['fences.0.leftEndDeg', 'fences.0.rightEndDeg'])
    expect((await api.ask('PUT', 'gardens/home/beds/none/skyline', { fences: [fence] })).status).toBe(404)
  })
})

describe('the outlook', () => {
  const ask = async (query: string): Promise<SunOutlook> =>
    (await api.ask('GET', `gardens/home/beds/long/sun-outlook${query}`)).body

  it('tells for a year which weeks reach six hours, by season, with its doubt', async () => {
    const outlook = await ask('')
    expect(outlook.days).toHaveLength(365)
    expect(outlook.days[0]!.date).toBe('2027-06-15')
    expect(outlook.skyline).toBe('learned')
    for (const day of outlook.days) {
      expect(day.possibleLow).toBeLessThanOrEqual(day.possibleSunHours)
      expect(day.possibleHigh).toBeGreaterThanOrEqual(day.possibleSunHours)
      expect(day.expectedSunHours!).toBeLessThanOrEqual(day.possibleSunHours)
    }
    expect(outlook.labels.map((l) => l.season)).toEqual(['spring', 'summer', 'autumn', 'winter'])
    expect(outlook.labels.find((l) => l.season === 'summer')!.label).toBe('full sun')
    expect(outlook.possibleSixHours[0]!.from).toBe('2027-06-15')
    expect(outlook.fallsBelowSixOn! > '2027-07-01').toBe(true)
    expect(outlook.clearFraction.basis[4]).toBe('measured')
    expect(outlook.clearFraction.basis[0]).toBe('other months')
    expect(outlook.clearFraction.days[4]).toBeGreaterThan(15)
  })

  it('goes for the dates asked, past or future', async () => {
    expect((await ask('?from=2020-02-28&to=2020-03-01')).days.map((d) => d.date)).toEqual([
      '2020-02-28',
      '2020-02-29',
      '2020-03-01',
    ])
    const wrong = async (query: string) =>
      (await api.ask('GET', `gardens/home/beds/long/sun-outlook${query}`)).status
    expect(await wrong('?from=2027-06-02&to=2027-06-01')).toBe(400)
    expect(await wrong('?from=2027-01-01&to=2028-06-01')).toBe(400)
    expect(await wrong('?from=yesterday')).toBe(400)
  })

  it('expects by the grower’s normals where nothing has been measured', async () => {
    expect((await api.ask('GET', 'gardens/home/clear-normals')).body.fraction).toEqual(
      new Array(12).fill(null),
    )
    const fraction = new Array(12).fill(0.5).map((f, month) => (month === 0 ? 0.2 : f))
    const normals = { fraction, source: 'a climate table' }
    expect((await api.ask('PUT', 'gardens/home/clear-normals', normals)).body).toEqual(normals)
    const [day] = (await ask('?from=2028-01-16&to=2028-01-16')).days
    expect(day!.expectedSunHours).toBeCloseTo(day!.possibleSunHours * 0.2, 1)
    expect((await api.ask('PUT', 'gardens/home/clear-normals', { fraction: [0.5] })).status).toBe(400)
    expect((await api.ask('DELETE', 'gardens/home/clear-normals')).status).toBe(204)
    expect((await api.ask('DELETE', 'gardens/home/clear-normals')).status).toBe(404)
  })
})

describe('the sun’s path', () => {
  it('is told every ten minutes, with when the skyline hides it', async () => {
    const path: SunPath = (await api.ask('GET', 'gardens/home/beds/long/sun-path?date=2027-06-15')).body
    expect(path.time).toHaveLength(145)
    expect(path.time[1]! - path.time[0]!).toBe(600)
    expect(Math.max(...path.elevationDeg)).toBeCloseTo(90 - 55.7 + 23.3, 0)
    expect(path.sunrise).toMatch(/^2027-06-15T04:2\d/)
    const afternoon = path.lost.at(-1)!
    expect(afternoon.from).toMatch(/^2027-06-15T1[34]:/)
    expect(afternoon.fromAzimuthDeg).toBeGreaterThan(190)
  })

  it('knows of the skyline on dates to come and long past', async () => {
    for (const date of ['2031-06-15', '2019-06-15']) {
      const path: SunPath = (await api.ask('GET', `gardens/home/beds/long/sun-path?date=${date}`)).body
      expect([date, path.lost.at(-1)?.fromAzimuthDeg ?? 0]).toEqual([date, expect.closeTo(200, -1.5)])
      const [outlook] = (await api.ask('GET', `gardens/home/beds/long/sun-outlook?from=${date}&to=${date}`))
        .body.days
      expect(path.possibleSunHours).toBeCloseTo(outlook.possibleSunHours, 1)
    }
    const [day] = (await api.ask('GET', 'gardens/home/beds/long/days?from=2031-06-15&to=2031-06-15')).body
    expect(day.possibleSunHours).toBeLessThan(12)
  })

  it('has as many steps as the day is long', async () => {
    const path = async (date: string): Promise<number> =>
      (await api.ask('GET', `gardens/home/beds/long/sun-path?date=${date}`)).body.time.length
    expect(await path('2027-03-28')).toBe(23 * 6 + 1)
    expect(await path('2027-10-31')).toBe(25 * 6 + 1)
  })
})

describe('the season’s carpet', () => {
  it('has the states of each day in minutes, and agrees with the day itself', async () => {
    const answer = await api.ask('GET', 'gardens/home/beds/long/sun-carpet?from=2027-05-20&to=2027-06-16')
    const carpet: SunCarpet = answer.body
    expect(carpet.days).toHaveLength(28)
    const day = carpet.days.find((d) => d.date === '2027-06-08')!
    const sun = (await api.ask('GET', 'gardens/home/beds/long/sun?date=2027-06-08')).body
    expect(day.sunHours).toBe(sun.sunHours)
    expect(day.state.map((code) => carpet.states[code])).toEqual(
      sun.segments.map((s: { state: string }) => s.state),
    )
    const midnightMs = Date.parse('2027-06-07T22:00:00Z')
    for (const [i, segment] of sun.segments.entries()) {
      expect(day.startMin[i]).toBeCloseTo((Date.parse(segment.from) - midnightMs) / 60_000, 0)
    }
    expect(day.endMin).toBe(1440)
    expect(day.behindSkylineMin.at(-1)![0]).toBeGreaterThan(13 * 60)
    // tomorrow has its sunrise but no states
    expect(carpet.days.at(-1)).toMatchObject({ startMin: [], state: [], endMin: 0, sunHours: null })
    expect(carpet.days.at(-1)!.sunriseMin).toBeGreaterThan(200)
    expect(JSON.stringify(carpet).length).toBeLessThan(28 * 800)
    expect(
      (await api.ask('GET', 'gardens/home/beds/long/sun-carpet?from=2027-05-20&to=2027-06-16')).body,
    ).toEqual(carpet)
  })
})

describe('beds side by side', () => {
  it('are compared over the same days', async () => {
    const { body } = await api.ask('GET', 'gardens/home/sun-comparison?from=2027-06-01&to=2027-06-10')
    expect(body).toMatchObject({ from: '2027-06-01', to: '2027-06-10' })
    const [bare, long] = body.beds
    expect(bare).toMatchObject({ bed: 'bare', name: 'Bare bed', days: 0, sunHours: null, label: 'full sun' })
    expect(long.days).toBe(10)
    expect(long.mostSunHours).toBeGreaterThan(long.sunHours)
    expect(long.possibleSunHours).toBeLessThan(bare.possibleSunHours - 3)
    expect(long.daysWithSixHours).toBeGreaterThan(3)
  })

  it('are compared by measured days only: before a sensor stood there, a bed is not open ground', async () => {
    const ask = async (from: string) =>
      (await api.ask('GET', `gardens/home/sun-comparison?from=${from}&to=2027-06-10`)).body.beds[1]
    const [measured, longer] = [await ask('2027-06-01'), await ask('2026-09-01')]
    expect(longer.days).toBeGreaterThanOrEqual(measured.days)
    expect(longer.possibleSunHours).toBeLessThan(measured.possibleSunHours + 1)
    expect(longer.label).toBe(measured.label)
  })
})
