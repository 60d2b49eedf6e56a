/** When to sow, over the API: what a plan rests on, its weeks and windows, and the beds for it. */
import { gzipSync } from 'node:zlib'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { addDays } from '../../shared/local-time.js'
import { HOBART, KANSAS, LEIPZIG, type NamedClimate } from '../core/plan/support/climates.js'
import { hasReferenceData, loadTidy, skipNote } from '../support/reference-data.js'
import { type Answer, type ApiFixture, COPENHAGEN, openApi, readingsOf } from './api-fixture.js'

let api: ApiFixture
beforeEach(async () => {
  api = await openApi()
  await api.setUpHome()
})
afterEach(() => api.close())

const typeIn = async (
  { minC, maxC, latitudeDeg }: NamedClimate,
  timeZone = 'Europe/Berlin',
): Promise<void> => {
  const place = { ...COPENHAGEN, latitudeDeg, timeZone }
  expect((await api.ask('PUT', 'gardens/home', place)).status).toBeLessThan(300)
  const normals = { minC: [...minC], maxC: [...maxC], source: 'a table' }
  expect((await api.ask('PUT', 'gardens/home/normals', normals)).status).toBe(200)
}
const plan = (crop: string, more = ''): Promise<Answer> =>
  api.ask('GET', `gardens/home/plan?crop=${crop}${more}`)
const sendCsv = (csv: string | Buffer, type = 'text/csv') =>
  api.app.inject({
    method: 'PUT',
    url: '/api/v1/gardens/home/plan-weather?name=a%20year.csv',
    headers: { 'content-type': type },
    payload: csv,
  })
const dailyCsv = (days: number): string =>
  [
    'date,tmin_c,tmax_c',
    ...Array.from({ length: days }, (_, i) => {
      const middleC = 9 - 8 * Math.cos((2 * Math.PI * (i - 15)) / 365)
      return `${addDays('2025-01-01', i)},${(middleC - 4).toFixed(1)},${(middleC + 5).toFixed(1)}`
    }),
  ].join('\n')

describe('a plan', () => {
  it('says what to do where nothing is known', async () => {
    const { status, body } = await plan('cabbage-early')
    expect(status).toBe(200)
    expect(body).toMatchObject({ basis: null, weeks: [], windows: [], soil: null })
    expect(body.words).toMatch(/Type in your region’s monthly means under Garden/)
    expect(body.bases.map((one: { isThere: boolean }) => one.isThere)).toEqual([false, false, false])
    expect(body.bases[0].words).toMatch(/measured for 165 days: a plan of its own needs a year/)
    const beds = await api.ask('GET', 'gardens/home/plan/beds?crop=kale&way=direct&sowOn=2027-07-01')
    expect(beds.status).toBe(404)
  })

  it('looks at 52 weeks of both ways from this week’s Monday, by the normals typed in', async () => {
    await typeIn(LEIPZIG)
    const { body } = await plan('cabbage-early')
    expect(body).toMatchObject({
      cropName: 'Cabbage, early',
      basis: 'normals',
      from: '2027-06-14',
      years: 20,
      family: { botanical: 'Brassicaceae' },
    })
    expect(body.words).toMatch(/From usual temperatures by the month \(a table\)/)
    expect(body.weeks).toHaveLength(104)
    expect(body.usualMeanC).toHaveLength(52)
    expect(body.usualMeanC[26]).toBeLessThan(5)
    const soil = body.soil.weeks.map((week: { soilMeanC: number }) => week.soilMeanC)
    expect(Math.max(...soil)).toBeGreaterThan(Math.min(...soil) + 15)
  })

  it('begins on the day asked for', async () => {
    await typeIn(LEIPZIG)
    const { body } = await plan('lettuce-head', '&from=2028-01-02')
    expect(body.weeks[0].sowOn).toBe('2028-01-02')
  })

  it('is another one as soon as normals, crop or place are others', async () => {
    await typeIn(LEIPZIG)
    const best = async (): Promise<string> => JSON.stringify((await plan('cabbage-early')).body.weeks)
    const first = await best()
    expect(await best()).toBe(first)
    await api.ask('PUT', 'gardens/home/crops/cabbage-early', { adjustments: { degreeDaysToReady: 930 } })
    const slower = await best()
    expect(slower).not.toBe(first)
    await api.ask('DELETE', 'gardens/home/crops/cabbage-early')
    expect(await best()).toBe(first)
    await typeIn(KANSAS)
    expect(await best()).not.toBe(first)
  })

  it('knows crops of the grower’s own', async () => {
    await typeIn(LEIPZIG)
    const own = { basedOn: 'cabbage-early', name: 'Filder pointed', adjustments: { degreeDaysToReady: 930 } }
    expect((await api.ask('PUT', 'gardens/home/crops/filder', own)).status).toBe(200)
    expect((await plan('filder')).body.cropName).toBe('Filder pointed')
  })

  it('names the field at fault', async () => {
    const fieldOf = async (query: string): Promise<string> =>
      (await api.ask('GET', `gardens/home/plan?${query}`)).body.problems[0].field
    expect(await fieldOf('crop=tulip')).toBe('crop')
    expect(await fieldOf('crop=kale&from=2027-02-30')).toBe('from')
    expect(await fieldOf('crop=kale&basis=stars')).toBe('basis')
    expect((await api.ask('GET', 'gardens/none/plan?crop=kale')).body.code).toBe('UNKNOWN_GARDEN')
  })

  it('lets other requests through while it is being made', async () => {
    await typeIn(KANSAS)
    let isMade = false
    const making = plan('cabbage-storage').then(() => {
      isMade = true
    })
    await api.ask('GET', 'gardens/home/beds')
    expect(isMade).toBe(false)
    await making
  })
})

interface Window {
  readonly way: string
  readonly season: string
  readonly readyFrom: string
  readonly best: {
    readonly plantOutOn: string
    readonly headingFrom: string
    readonly readyFrom: string
    readonly score: number
  }
}
const bestOf = (body: { windows: Window[] }, season: string): Window['best'] => windowOf(body, season).best
const windowOf = (body: { windows: Window[] }, season: string): Window => {
  const found = body.windows.filter((one) => one.way === 'under cover' && one.season === season)
  if (found.length === 0) throw new Error(`no window ${season}`)
  return found.reduce((a, b) => (b.best.score > a.best.score ? b : a))
}
const monthDay = (date: string): string => date.slice(5)

/** The same guidance as tests/published/planting-windows-*, through the whole hub. */
describe('windows against published guidance', () => {
  it('eastern Kansas (Marr, Kansas State): out in late March for early summer, and heads in October', async () => {
    await typeIn(KANSAS, 'America/Chicago')
    const { body } = await plan('cabbage-early')
    const spring = bestOf(body, 'warming')
    expect(monthDay(spring.plantOutOn) >= '03-06' && monthDay(spring.plantOutOn) <= '04-14').toBe(true)
    expect(monthDay(spring.readyFrom) >= '06-01' && monthDay(spring.readyFrom) <= '07-31').toBe(true)
    const autumn = bestOf(body, 'cooling')
    expect(monthDay(autumn.headingFrom) > '08-25').toBe(true)
    expect(monthDay(autumn.readyFrom) >= '09-17' && monthDay(autumn.readyFrom) <= '11-14').toBe(true)
  })

  it('Germany (gemuese-info.de): early cabbage cut from June on', async () => {
    await typeIn(LEIPZIG)
    const spring = windowOf((await plan('cabbage-early')).body, 'warming')
    expect(monthDay(spring.readyFrom) >= '06-01' && monthDay(spring.readyFrom) <= '06-30').toBe(true)
  })

  it('Tasmania: heads of spring cabbage form before its summer, half a year from ours', async () => {
    await typeIn(HOBART, 'Australia/Hobart')
    const spring = bestOf((await plan('cabbage-early')).body, 'warming')
    expect(['09', '10', '11', '12']).toContain(spring.headingFrom.slice(5, 7))
  })
})

describe('a year’s file', () => {
  it('is what a plan rests on, told by its name, until it is taken back', async () => {
    const sent = await sendCsv(dailyCsv(365))
    expect(sent.statusCode).toBe(200)
    expect(sent.json()).toEqual({
      name: 'a year.csv',
      from: '2025-01-01',
      to: '2025-12-31',
      days: 365,
      hasSoil: false,
    })
    const { body } = await plan('cabbage-early')
    expect(body).toMatchObject({ basis: 'chosen year', years: 1 })
    expect(body.words).toMatch(
      /one year of weather that you chose, beginning 2025-01-01.* The file is a year.csv/,
    )
    expect((await api.ask('GET', 'gardens/home/plan-weather')).body.weather.days).toBe(365)
    expect((await api.ask('DELETE', 'gardens/home/plan-weather')).status).toBe(204)
    expect((await api.ask('DELETE', 'gardens/home/plan-weather')).status).toBe(404)
    expect((await plan('cabbage-early')).body.basis).toBeNull()
  })

  it('stands behind normals unless it is asked for', async () => {
    await sendCsv(dailyCsv(365))
    await typeIn(KANSAS)
    expect((await plan('kale')).body.basis).toBe('normals')
    expect((await plan('kale', '&basis=chosen%20year')).body.basis).toBe('chosen year')
    const missing = (await plan('kale', '&basis=garden%20days')).body
    expect(missing.basis).toBeNull()
    expect(missing.words).toMatch(/needs a year/)
  })

  it('is refused in plain words, and the one before it stays', async () => {
    await sendCsv(dailyCsv(365))
    const short = await sendCsv(dailyCsv(100))
    expect(short.statusCode).toBe(400)
    expect(short.json().problems).toEqual([
      { field: 'file', message: expect.stringMatching(/100 days .* whole year/) },
    ])
    expect((await sendCsv(gzipSync(dailyCsv(365)))).statusCode).toBe(400)
    const large = await sendCsv('x'.repeat(3 * 1024 * 1024))
    expect([large.statusCode, large.json().detail]).toEqual([413, 'the request is larger than 2048 KiB'])
    expect((await sendCsv(dailyCsv(365), 'text/html')).statusCode).toBe(415)
    expect((await api.ask('GET', 'gardens/home/plan-weather')).body.weather.days).toBe(365)
  })
})

describe.skipIf(!hasReferenceData)(`a measured year${skipNote}`, () => {
  /** half-hours of Tharandt, Saxony, 1998, by the calendar of 2026 */
  const tharandt = async () => {
    const { timeMs, columns } = await loadTidy('tharandt-30min/tharandt-1998.tidy.csv.gz')
    const shiftMs = Date.parse('2026-01-01T00:00:00Z') - Date.parse('1998-01-01T00:00:00Z')
    return { timeMs: timeMs.map((ms) => ms + shiftMs), air: columns.air_temp_c!, soil: columns.soil_temp_c! }
  }

  it('makes a plan of the garden’s own, and the same as a file', async () => {
    await api.ask('PUT', 'gardens/home', { ...COPENHAGEN, latitudeDeg: 51, timeZone: 'Europe/Berlin' })
    const placement = { node: 'n2', bed: 'long', from: '2025-12-31T00:00:00Z', to: '2026-12-31T22:59:00Z' }
    await api.ask('PUT', 'gardens/home/nodes/n2', { name: 'by the gate' })
    expect((await api.ask('POST', 'gardens/home/placements', placement)).status).toBe(201)
    const { timeMs, air, soil } = await tharandt()
    const readings = Array.from(timeMs, (ms, i) =>
      [
        ['air-temp', air[i]!],
        ['soil-temp', soil[i]!],
      ].flatMap(([quantity, value]) =>
        typeof quantity === 'string' && typeof value === 'number' && Number.isFinite(value)
          ? [{ garden: 'home', node: 'n2', quantity, timeMs: ms, value, flags: 0 }]
          : [],
      ),
    ).flat()
    for (let i = 0; i < readings.length; i += 5000) await api.store(readings.slice(i, i + 5000))

    const { body: own } = await plan('cabbage-early')
    expect(own).toMatchObject({ basis: 'garden days', years: 1 })
    expect(own.soil.basis).toBe('measured')
    const csv = [
      'time,air_temp_c,soil_temp_c',
      ...Array.from(timeMs, (ms, i) => `${new Date(ms).toISOString()},${text(air[i])},${text(soil[i])}`),
    ]
    expect((await sendCsv(csv.join('\n'))).statusCode).toBe(200)
    const { body: byFile } = await plan('cabbage-early', '&basis=chosen%20year')
    for (const season of ['warming', 'cooling']) {
      const [a, b] = [bestOf(own, season), bestOf(byFile, season)]
      expect(Math.abs(Date.parse(a.plantOutOn) - Date.parse(b.plantOutOn))).toBeLessThanOrEqual(
        14 * 86_400_000,
      )
      expect(Math.abs(a.score - b.score)).toBeLessThan(0.1)
    }
  }, 60_000)

  const text = (value: number | undefined): string =>
    value === undefined || Number.isNaN(value) ? '' : String(value)
})

describe('the beds for a sowing', () => {
  const ask = (more: string): Promise<Answer> =>
    api.ask('GET', `gardens/home/plan/beds?crop=cabbage-early&${more}`)
  const DIRECT = 'way=under%20cover&sowOn=2027-06-21'

  it('are ranked with reasons; where the family grew comes later, and it is said', async () => {
    await typeIn(LEIPZIG)
    await api.ask('PUT', 'gardens/home/beds/wall', {
      name: 'By the wall',
      kind: 'ground',
      lengthM: 2,
      widthM: 1,
      depthM: null,
    })
    const planted = {
      bed: 'long',
      crop: 'kale',
      sownOn: '2026-04-01',
      finishedOn: '2026-12-01',
      plants: 4,
      spacingM: 0.5,
    }
    expect((await api.ask('POST', 'gardens/home/plantings', planted)).status).toBe(201)
    const { status, body } = await ask(DIRECT)
    expect(status).toBe(200)
    expect(body.week).toMatchObject({ sowOn: '2027-06-21', way: 'under cover' })
    expect(body.beds.map((bed: { bed: string }) => bed.bed)).toEqual(['wall', 'long'])
    expect(body.beds[1].sameFamily).toEqual({ cropName: 'Kale', until: '2026-12-01' })
    expect(body.beds[1].reasons[0]).toMatch(/cabbage family grew here until 2026-12-01/)
    // no skyline is known: an open field's hours would be a lie
    expect(body.beds[0]).toMatchObject({ expectedSunHours: null, possibleSunHours: null })
  })

  it('tells the warmth of beds against each other, and the sun under a skyline drawn by hand', async () => {
    await typeIn(LEIPZIG)
    await api.ask('PUT', 'gardens/home/beds/wall', {
      name: 'By the wall',
      kind: 'ground',
      lengthM: 2,
      widthM: 1,
      depthM: null,
    })
    await api.ask('PUT', 'gardens/home/nodes/n2', { name: 'warm' })
    await api.ask('POST', 'gardens/home/placements', {
      node: 'n2',
      bed: 'wall',
      from: '2027-05-01T00:00:00Z',
    })
    const fortnights = (node: string, tempC: number) =>
      readingsOf(
        'air-temp',
        '2027-05-01T00:00:00Z',
        30 * 48,
        1800,
        (i) => tempC + 4 * Math.sin((i / 24) * Math.PI),
        node,
      )
    await api.store([...fortnights('n1', 15), ...fortnights('n2', 17)])
    const drawn = await api.ask('PUT', 'gardens/home/beds/long/skyline', {
      points: [
        { azimuthDeg: 90, elevationDeg: 25 },
        { azimuthDeg: 180, elevationDeg: 25 },
        { azimuthDeg: 270, elevationDeg: 25 },
      ],
    })
    expect(drawn.status).toBe(200)
    const { body } = await ask(DIRECT)
    const bed = (id: string) => body.beds.find((one: { bed: string }) => one.bed === id)
    expect(bed('wall').warmerByC).toBeCloseTo(2, 6)
    expect(bed('long').warmerByC).toBeCloseTo(-2, 6)
    expect(bed('long').possibleSunHours).toBeGreaterThan(0)
    expect(bed('long').possibleSunHours).toBeLessThan(9)
  })

  it('wants a way and a day', async () => {
    expect((await ask('way=by%20hand&sowOn=2027-06-21')).body.problems[0].field).toBe('way')
    expect((await ask('way=direct')).body.problems[0].field).toBe('sowOn')
  })
})
