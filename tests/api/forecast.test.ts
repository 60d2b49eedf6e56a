import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type ApiFixture, NOW_MS, openApi, readingsOf } from './api-fixture.js'

let api: ApiFixture
beforeEach(async () => {
  api = await openApi()
  await api.setUpHome()
})
afterEach(() => api.close())

const HOUR_MS = 3_600_000
const wave = (timeMs: number): number => 15 + 6 * Math.sin(2 * Math.PI * (timeMs / (24 * HOUR_MS) - 0.4))
const fromMs = NOW_MS - 20 * 24 * HOUR_MS
const readings = () =>
  readingsOf('air-temp', new Date(fromMs).toISOString(), 20 * 48, 1800, (i) => wave(fromMs + i * 1_800_000))
const iso = (timeMs: number): string => new Date(timeMs).toISOString()
const input = (parts: object = {}) => ({
  source: 'my station',
  attribution: 'next door',
  issuedAt: iso(NOW_MS - HOUR_MS),
  points: Array.from({ length: 80 }, (_, hour) => ({
    time: iso(NOW_MS + hour * HOUR_MS),
    airTempC: Math.round(wave(NOW_MS + hour * HOUR_MS) * 10) / 10,
  })),
  ...parts,
})

describe('GET /forecast', () => {
  it('says of a bed without readings that nothing is known', async () => {
    const { status, body } = await api.ask('GET', 'gardens/home/forecast')
    expect(status).toBe(200)
    expect(body).toMatchObject({
      public: null,
      beds: [{ bed: 'long', source: 'none', isFresh: false, days: [] }],
    })
    expect(body.beds[0].words).toContain('nothing to go by')
  })

  it('tells the days to come as intervals, hour by hour, and who spoke', async () => {
    await api.store(readings())
    const { body } = await api.ask('GET', 'gardens/home/forecast?bed=long')
    const [bed] = body.beds
    expect(bed).toMatchObject({ source: 'bed', isFresh: true, publicSource: null, restsOn: 19 })
    expect(bed.days.map((day: { date: string }) => day.date)).toEqual([
      '2027-06-15',
      '2027-06-16',
      '2027-06-17',
      '2027-06-18',
    ])
    for (const day of bed.days) {
      expect(day.airTempMaxC.lowC).toBeLessThanOrEqual(day.airTempMaxC.middleC)
      expect(day.airTempMaxC.middleC).toBeLessThanOrEqual(day.airTempMaxC.highC)
      expect(day.chanceOfFrost).toBeLessThan(0.1)
    }
    expect(bed.course.time[0]).toBe(NOW_MS / 1000)
    expect(bed.course.time).toHaveLength(bed.course.middleC.length)
  })

  it('knows no beds but the garden’s', async () => {
    expect((await api.ask('GET', 'gardens/home/forecast?bed=none')).status).toBe(404)
  })
})

describe('PUT /forecast', () => {
  it('takes a forecast from anyone’s own source, and shows it uncorrected beside what it makes of it', async () => {
    await api.store(readings())
    const { status, body } = await api.ask('PUT', 'gardens/home/forecast', input())
    expect(status).toBe(200)
    expect(body.public).toMatchObject({
      source: 'my station',
      attribution: 'next door',
      state: 'fresh',
      ageS: 3600,
      nextTryAt: null,
      problem: null,
    })
    expect(body.public.time).toHaveLength(80)
    expect(body.public.airTempC[0]).toBeCloseTo(wave(NOW_MS), 1)
  })

  it.each([
    ['of one point', { points: [{ time: iso(NOW_MS), airTempC: 12 }] }, 'points'],
    ['without a source', { source: ' ' }, 'source'],
    ['with words for numbers', { points: [{ time: 'now', airTempC: 'warm' }, {}] }, 'points'],
    ['from the future', { issuedAt: iso(NOW_MS + 2 * HOUR_MS) }, 'points'],
    [
      'in degrees that cannot be',
      { points: input().points.map((point) => ({ ...point, airTempC: point.airTempC + 273 })) },
      'points',
    ],
  ])('refuses a forecast %s', async (_what, parts, field) => {
    const { status, body } = await api.ask('PUT', 'gardens/home/forecast', input(parts))
    expect(status).toBe(400)
    expect(body.problems[0].field.split('.')[0]).toBe(field)
    expect((await api.ask('GET', 'gardens/home/forecast')).body.public).toBeNull()
  })
})
