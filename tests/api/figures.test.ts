import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type ApiFixture, openApi, readingsOf } from './api-fixture.js'

describe('figures of a bed', () => {
  let api: ApiFixture
  beforeAll(async () => {
    api = await openApi()
    await api.setUpHome()
    // ten days, a reading a minute, with a hole of six hours on 10 June
    const minutes = 10 * 1440
    const air = readingsOf('air-temp', '2027-06-05T00:00:00Z', minutes, 60, (i) => 15 + 8 * Math.sin(i / 229))
    const hole = [Date.parse('2027-06-10T06:00:00Z'), Date.parse('2027-06-10T12:00:00Z')] as const
    await api.store(air.filter(({ timeMs }) => timeMs < hole[0] || timeMs >= hole[1]))
    await api.store(readingsOf('light', '2027-06-05T00:00:00Z', minutes, 60, () => 30_000))
    await api.store([
      {
        garden: 'home',
        node: 'n1',
        quantity: 'soil-temp',
        timeMs: Date.parse('2027-06-15T11:30:00Z'),
        value: -127,
        flags: 2,
      },
      {
        garden: 'home',
        node: 'n1',
        quantity: 'pot-weight',
        timeMs: Date.parse('2027-06-15T11:30:00Z'),
        value: 12.5,
        flags: 0,
      },
    ])
  })
  afterAll(() => api.close())

  const series = (query: string) => api.ask('GET', `gardens/home/beds/long/series?${query}`)

  it('are raw when they are few', async () => {
    const { status, body } = await series(
      'quantity=air-temp&from=2027-06-06T00:00:00Z&to=2027-06-06T01:00:00Z',
    )
    expect(status).toBe(200)
    expect(body).toMatchObject({ form: 'raw', unit: '°C', spacingS: 60 })
    expect(body.time).toHaveLength(60)
    expect(body.time[0]).toBe(Date.parse('2027-06-06T00:00:00Z') / 1000)
    expect(body.value[1]).toBe(15 + 8 * Math.sin(1441 / 229))
  })

  it('keep doubtful readings, with their flags', async () => {
    const { body } = await series('quantity=soil-temp&from=2027-06-15T00:00:00Z')
    expect(body).toMatchObject({ form: 'raw', value: [-127], flags: [2], spacingS: null })
  })

  it('are steps when they are many, every step there, empty ones null', async () => {
    const { body } = await series(
      'quantity=air-temp&from=2027-06-10T00:00:00Z&to=2027-06-11T00:00:00Z&points=24',
    )
    expect(body).toMatchObject({ form: 'steps', stepS: 3600, unit: '°C' })
    expect(body.time).toHaveLength(24)
    expect(body.mean.slice(6, 12)).toEqual([null, null, null, null, null, null])
    // the reading before the hole stands for a part of its first hour
    expect(body.coverage[8]).toBe(0)
    expect(body.coverage[0]).toBeCloseTo(1, 5)
    expect(body.min[0]).toBeLessThanOrEqual(body.mean[0])
    expect(body.mean[0]).toBeLessThanOrEqual(body.max[0])
  })

  it('are empty, not missing, where nothing was measured', async () => {
    const { status, body } = await series('quantity=humidity')
    expect(status).toBe(200)
    expect(body).toMatchObject({ form: 'raw', time: [], value: [], spacingS: null })
  })

  it('reach from a day ago until now when no range is given', async () => {
    const { body } = await series('quantity=pot-weight')
    expect(body).toMatchObject({ unit: '', value: [12.5] })
  })

  it('list what was measured', async () => {
    const { body } = await api.ask('GET', 'gardens/home/beds/long/quantities')
    const names = body.map((q: { quantity: string }) => q.quantity).sort()
    expect(names).toEqual(['air-temp', 'light', 'pot-weight', 'soil-temp'])
  })

  it.each([
    ['', 'quantity'],
    ['quantity=Air Temp', 'quantity'],
    ['quantity=air-temp&points=1', 'points'],
    ['quantity=air-temp&points=20001', 'points'],
    ['quantity=air-temp&points=', 'points'],
    ['quantity=air-temp&points=1e3', 'points'],
    ['quantity=air-temp&from=yesterday', 'from'],
    ['quantity=air-temp&from=2027-06-06', 'from'],
    ['quantity=air-temp&from=2027-06-07T00:00:00Z&to=2027-06-06T00:00:00Z', 'to'],
    ['quantity=air-temp&from=1970-01-02T00:00:00Z', 'from'],
    ['quantity=air-temp&quantity=light', 'quantity'],
  ])('refuse the query "%s" at %s', async (query, field) => {
    const { status, body } = await series(query)
    expect(status).toBe(400)
    expect(body.problems.map((p: { field: string }) => p.field)).toContain(field)
  })

  it('say how to write an offset that arrives as a blank', async () => {
    const { body } = await series('quantity=air-temp&from=2027-06-06T02:00:00+02:00')
    expect(body.detail).toContain('%2B')
    expect((await series('quantity=air-temp&from=2027-06-06T02:00:00%2B02:00')).status).toBe(200)
  })

  it('refuse a misspelt query instead of answering another question', async () => {
    const { status, body } = await series('quantity=air-temp&form=2027-06-06T00:00:00Z')
    expect(status).toBe(400)
    expect(body.detail).toContain('form')
  })

  it('give a record for every day, complete or not', async () => {
    const { status, body } = await api.ask('GET', 'gardens/home/beds/long/days?from=2027-06-04&to=2027-06-15')
    expect(status).toBe(200)
    expect(body.map((d: { date: string }) => d.date)).toEqual(
      Array.from({ length: 12 }, (_, i) => `2027-06-${String(4 + i).padStart(2, '0')}`),
    )
    expect(body[0]).toMatchObject({ airTempMinC: null, degreeDaysC: null, sunHours: null, airCoverage: 0 })
    expect(body[3]).toMatchObject({ provisional: false })
    expect(body[3].airCoverage).toBeCloseTo(1, 3)
    expect(body[6].airCoverage).toBeLessThan(0.8)
    expect(body[6].provisional).toBe(true)
    expect(body[11].provisional).toBe(true)
  })

  it('count degree days from the base asked for', async () => {
    const days = async (query: string): Promise<number> =>
      (await api.ask('GET', `gardens/home/beds/long/days?from=2027-06-07&to=2027-06-07${query}`)).body[0]
        .degreeDaysC
    const usual = await days('')
    expect(await days('&baseC=4.4')).toBe(usual)
    expect(await days('&baseC=10')).toBeLessThan(usual)
    expect(await days('&method=average')).not.toBe(usual)
  })

  it.each([
    ['from=2027-06-31', 'from'],
    ['from=2027-06-05&to=2027-06-04', 'to'],
    ['from=2020-01-01&to=2027-01-01', 'from'],
    ['baseC=abc', 'baseC'],
    ['baseC=30&upperC=20', 'upperC'],
    ['upperC=4', 'upperC'],
    ['upperC=4&cutoff=vertical', 'upperC'],
    ['chillBelowC=-5', 'chillBelowC'],
    ['method=guess', 'method'],
    ['to=9999-12-31', 'to'],
  ])('refuse days of "%s" at %s', async (query, field) => {
    const { status, body } = await api.ask('GET', `gardens/home/beds/long/days?${query}`)
    expect(status).toBe(400)
    expect(body.problems).toMatchObject([{ field }])
  })

  it('show the sun of a day without holes, from its start to its end', async () => {
    const { status, body } = await api.ask('GET', 'gardens/home/beds/long/sun?date=2027-06-07')
    expect(status).toBe(200)
    expect(body).toMatchObject({
      date: '2027-06-07',
      from: '2027-06-07T00:00:00+02:00',
      to: '2027-06-08T00:00:00+02:00',
    })
    expect(body.segments[0].from).toBe(body.from)
    expect(body.segments.at(-1).to).toBe(body.to)
    for (let i = 1; i < body.segments.length; i++) expect(body.segments[i].from).toBe(body.segments[i - 1].to)
    expect(Date.parse(body.sunrise)).toBeLessThan(Date.parse(body.sunset))
  })

  it('show today: every bed with its sun, day, newest values and what grows there', async () => {
    const planting = {
      bed: 'long',
      crop: 'cabbage-mid',
      plantedOutOn: '2027-06-05',
      plants: 4,
      spacingM: 0.45,
    }
    const { body: planted } = await api.ask('POST', 'gardens/home/plantings', planting)
    for (const other of [{ finishedOn: '2027-06-10' }, { plantedOutOn: '2027-08-01' }]) {
      const { status } = await api.ask('POST', 'gardens/home/plantings', { ...planting, ...other })
      expect(status).toBe(201)
    }
    await api.ask('PUT', 'gardens/home/beds/bare', { name: 'Bare', kind: 'ground', lengthM: 1, widthM: 1 })
    const { status, body } = await api.ask('GET', 'gardens/home/today')
    expect(status).toBe(200)
    expect(body).toMatchObject({ now: '2027-06-15T14:00:00+02:00', date: '2027-06-15' })
    expect(body.daylightHours).toBeGreaterThan(17)
    const [bare, long] = body.beds.sort((a: { bed: string }, b: { bed: string }) =>
      a.bed.localeCompare(b.bed),
    )
    expect(bare).toMatchObject({ bed: 'bare', latest: [], plantings: [], sun: { sunHours: null } })
    expect(bare.sun.stillPossibleHours).toBeGreaterThan(0)
    expect(long.latest).toContainEqual({
      quantity: 'soil-temp',
      unit: '°C',
      node: 'n1',
      time: '2027-06-15T13:30:00+02:00',
      value: -127,
      flags: ['sentinel'],
    })
    // only what stands there today: not what is finished, nor what is still to come
    expect(long.plantings).toMatchObject([{ id: planted.id, crop: 'cabbage-mid', plants: 4 }])
    expect(long.plantings[0].cropName).toMatch(/cabbage/i)
    expect(long.plantings[0].stageName).not.toBe('')
  })

  it('tell how far a planting has come', async () => {
    const planting = {
      bed: 'long',
      crop: 'cabbage-mid',
      plantedOutOn: '2027-06-06',
      plants: 4,
      spacingM: 0.45,
    }
    const { body: planted } = await api.ask('POST', 'gardens/home/plantings', planting)
    const { status, body } = await api.ask('GET', `gardens/home/plantings/${planted.id}/progress`)
    expect(status).toBe(200)
    expect(body).toMatchObject({ planting: planted.id, since: '2027-06-06' })
    expect(body.degreeDaysC).toBeGreaterThan(50)
    expect(body.degreeDaysC).toBeLessThan(150)
    expect(body.coverage).toBeGreaterThan(0.7)
    expect(body.coverage).toBeLessThan(1)
    expect(body.stages.length).toBeGreaterThan(2)
    const needed = body.stages.map((s: { degreeDaysC: number }) => s.degreeDaysC)
    expect(needed).toEqual([...needed].sort((a, b) => a - b))
  })

  it('are refused for beds that are not there', async () => {
    for (const path of ['series?quantity=light', 'days', 'sun', 'quantities']) {
      expect((await api.ask('GET', `gardens/home/beds/nowhere/${path}`)).body.code).toBe('UNKNOWN_BED')
    }
  })
})
