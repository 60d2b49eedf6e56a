import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type ApiFixture, openApi, readingsOf } from './api-fixture.js'

let api: ApiFixture
beforeEach(async () => {
  api = await openApi()
  await api.setUpHome()
})
afterEach(() => api.close())

const PLANTING = {
  bed: 'long',
  crop: 'cabbage-early',
  plantedOutOn: '2027-06-01',
  plants: 8,
  spacingM: 0.4,
}

const plant = async (parts: object = {}): Promise<string> => {
  const { status, body } = await api.ask('POST', 'gardens/home/plantings', { ...PLANTING, ...parts })
  expect(status).toBe(201)
  return `gardens/home/plantings/${body.id}`
}

/** Two weeks of half-hours, 12 to 24 °C. */
const warmFortnight = () =>
  readingsOf(
    'air-temp',
    '2027-05-31T22:00:00Z',
    14 * 48 + 20,
    1800,
    (i) => 18 + 6 * Math.sin(((i - 18) / 48) * 2 * Math.PI),
  )

describe('the progress of a planting', () => {
  it('tells stage, days, doses and what is to come', async () => {
    const path = await plant()
    await api.store(warmFortnight())
    const { status, body } = await api.ask('GET', `${path}/progress`)
    expect(status).toBe(200)
    expect(body).toMatchObject({
      cropName: 'Cabbage, early',
      stage: 'leafing',
      today: '2027-06-15',
      cropBy: 'library',
    })
    expect(body.days.date).toHaveLength(15)
    expect(body.days.degreeDaysC.at(-1)).toBeCloseTo(body.degreeDaysC, 9)
    expect(body.projection).toMatchObject({ basis: 'recent pace' })
    expect(body.doses.heat).toMatchObject({ amount: 0, level: 'none' })
    expect(body.ahead.date[0]).toBe('2027-06-16')
  })

  it('is set right by what the journal says was seen, until that is taken back', async () => {
    const path = await plant()
    const planting = path.split('/').at(-1)
    await api.store(warmFortnight())
    const { status, body: entry } = await api.ask('POST', 'gardens/home/journal', {
      id: 'heads-in-june',
      kind: 'heads-started',
      on: '2027-06-14',
      planting,
      plants: 3,
      note: 'three of eight',
    })
    expect(status).toBe(201)
    const { body: after } = await api.ask('GET', `${path}/progress`)
    const seen = { id: entry.id, planting, seen: 'heads-started', on: '2027-06-14', note: 'three of eight' }
    expect(after).toMatchObject({ stage: 'heading', observations: [seen] })
    expect(after.basis).toContain('set right by what you saw on 2027-06-14')
    const today = await api.ask('GET', 'gardens/home/today')
    expect(today.body.beds[0].plantings[0]).toMatchObject({ stage: 'heading' })

    expect((await api.ask('DELETE', 'gardens/home/journal/heads-in-june')).status).toBe(204)
    expect((await api.ask('GET', `${path}/progress`)).body.stage).toBe('leafing')
  })

  it('says so when the journal has the last of it cut, and leaves the finishing to the grower', async () => {
    const path = await plant()
    await api.store(warmFortnight())
    const cut = (id: string, plants: number) =>
      api.ask('POST', 'gardens/home/journal', {
        id,
        kind: 'cut',
        on: '2027-06-15',
        planting: path.split('/').at(-1),
        plants,
      })
    await cut('first-five', 5)
    expect((await api.ask('GET', `${path}/progress`)).body).toMatchObject({ stage: 'ready' })
    await cut('last-three', 3)
    const { body } = await api.ask('GET', `${path}/progress`)
    expect(body).toMatchObject({ stage: 'finished', stageName: 'all cut', projection: { stages: [] } })
    expect(body.basis).toContain('cut on 2027-06-15')
    expect(body.stages.at(-1)).toMatchObject({ stage: 'finished', reachedOn: '2027-06-15' })
    expect((await api.ask('GET', path)).body.finishedOn).toBeNull()
  })

  it('goes by a crop edited in mid-season from its first day on', async () => {
    const path = await plant()
    await api.store(warmFortnight())
    const before = (await api.ask('GET', `${path}/progress`)).body
    const put = await api.ask('PUT', 'gardens/home/crops/cabbage-early', { adjustments: { baseC: 8 } })
    expect(put.status).toBe(200)
    const after = (await api.ask('GET', `${path}/progress`)).body
    expect(after.cropBy).toBe('grower')
    // 3.6 °C less on each of fourteen days and a half
    expect(before.degreeDaysC - after.degreeDaysC).toBeGreaterThan(3.6 * 14)
    expect(before.degreeDaysC - after.degreeDaysC).toBeLessThan(3.6 * 15)
  })

  it('projects with an interval once normals are typed in', async () => {
    const path = await plant()
    await api.store(warmFortnight())
    const minC = [0, 0, 1, 4, 8, 11, 13, 13, 10, 7, 3, 1]
    const maxC = minC.map((c) => c + 8)
    expect((await api.ask('GET', 'gardens/home/normals')).body).toEqual({ normals: null })
    const put = await api.ask('PUT', 'gardens/home/normals', { minC, maxC, source: 'almanac' })
    expect(put).toMatchObject({ status: 200, body: { source: 'almanac' } })
    const { projection } = (await api.ask('GET', `${path}/progress`)).body
    expect(projection.basis).toBe('normals')
    expect(projection.stages[0].earliestOn < projection.stages[0].latestOn).toBe(true)

    const upside = await api.ask('PUT', 'gardens/home/normals', { minC: maxC, maxC: minC })
    expect(upside.status).toBe(400)
    expect((await api.ask('DELETE', 'gardens/home/normals')).status).toBe(204)
    expect((await api.ask('DELETE', 'gardens/home/normals')).status).toBe(404)
  })
})

describe('the crops of a garden', () => {
  const of = async (id: string) => (await api.ask('GET', `gardens/home/crops/${id}`)).body

  it('say what can be adjusted, between what, and whose each number is', async () => {
    const { status, body } = await api.ask('GET', 'gardens/home/crops')
    expect(status).toBe(200)
    const cabbage = body.find((crop: { id: string }) => crop.id === 'cabbage-early')
    expect(cabbage).toMatchObject({ by: 'library', basedOn: 'cabbage-early' })
    expect(cabbage.adjustable).toContainEqual({
      field: 'heatAboveC',
      label: 'heat hours count above, °C',
      min: 15,
      max: 45,
      libraryValue: 27,
      ownValue: null,
    })
    await api.ask('PUT', 'gardens/home/crops/cabbage-early', { adjustments: { heatAboveC: 29 } })
    const adjusted = await of('cabbage-early')
    expect(adjusted.by).toBe('adjusted')
    expect(adjusted.adjustable).toContainEqual(expect.objectContaining({ field: 'heatAboveC', ownValue: 29 }))
    expect(adjusted.figures).toContainEqual(
      expect.objectContaining({ name: 'heat hours count above', value: 29, source: 'grower' }),
    )
    expect((await api.ask('DELETE', 'gardens/home/crops/cabbage-early')).status).toBe(204)
    expect((await of('cabbage-early')).by).toBe('library')
  })

  it('take a crop of the grower’s own, which can then be planted', async () => {
    const put = await api.ask('PUT', 'gardens/home/crops/aunts-pointed', {
      basedOn: 'cabbage-early',
      name: 'Aunt’s pointed',
      adjustments: { degreeDaysToReady: 700 },
    })
    expect(put).toMatchObject({
      status: 200,
      body: { by: 'own', name: 'Aunt’s pointed', id: 'aunts-pointed' },
    })
    const path = await plant({ crop: 'aunts-pointed' })
    expect((await api.ask('GET', `${path}/progress`)).body).toMatchObject({ cropName: 'Aunt’s pointed' })
    expect((await api.ask('DELETE', 'gardens/home/crops/aunts-pointed')).status).toBe(409)
    expect((await api.ask('DELETE', path)).status).toBe(204)
    expect((await api.ask('DELETE', 'gardens/home/crops/aunts-pointed')).status).toBe(204)
    expect((await api.ask('GET', 'gardens/home/crops/aunts-pointed')).status).toBe(404)
  })

  it.each([
    ['a number outside its range', 'cabbage-early', { adjustments: { baseC: 40 } }, 'adjustments.baseC'],
    ['an unknown number', 'cabbage-early', { adjustments: { luck: 1 } }, 'adjustments.luck'],
    ['what does not apply', 'spinach', { adjustments: { heatAboveC: 30 } }, 'adjustments.heatAboveC'],
    [
      'limits the wrong way round',
      'cabbage-early',
      { adjustments: { heatWatchHours: 60 } },
      'adjustments.heatWatchHours',
    ],
    ['an unknown model', 'mine', { basedOn: 'moonflower', name: 'Mine' }, 'basedOn'],
    ['a new crop without a name', 'mine', { basedOn: 'kale' }, 'name'],
    ['a new crop with a name taken by the library', 'spinach', { basedOn: 'kale', name: 'S' }, 'basedOn'],
    ['an id with blanks', 'My%20crop', { basedOn: 'kale', name: 'Mine' }, 'id'],
  ])('refuse %s, and say which field', async (_what, id, body, field) => {
    const answer = await api.ask('PUT', `gardens/home/crops/${id}`, body)
    expect(answer.status).toBe(400)
    expect(answer.body.problems[0].field).toBe(field)
  })
})

describe('muted warnings', () => {
  it('are kept by planting', async () => {
    const path = await plant()
    expect((await api.ask('GET', `${path}/mutes`)).body).toEqual({ kinds: [] })
    const put = await api.ask('PUT', `${path}/mutes`, { kinds: ['frost', 'warm-spell'] })
    expect(put).toMatchObject({ status: 200, body: { kinds: ['frost', 'warm-spell'] } })
    expect((await api.ask('GET', `${path}/mutes`)).body).toEqual({ kinds: ['frost', 'warm-spell'] })
    expect((await api.ask('PUT', `${path}/mutes`, { kinds: ['noise'] })).status).toBe(400)
  })
})
