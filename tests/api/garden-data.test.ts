import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { LiveEvent } from '../../shared/api/warnings.js'
import { type ApiFixture, COPENHAGEN, LONG_BED, openApi, readingsOf } from './api-fixture.js'

describe('a new hub', () => {
  let api: ApiFixture
  beforeAll(async () => {
    api = await openApi()
  })
  afterAll(() => api.close())

  it('has no garden until the grower sets one up', async () => {
    expect(await api.ask('GET', 'gardens')).toMatchObject({ status: 200, body: [] })
    expect(await api.ask('GET', 'gardens/home')).toMatchObject({
      status: 404,
      type: expect.stringContaining('application/problem+json'),
      body: { code: 'UNKNOWN_GARDEN', status: 404 },
    })
    expect((await api.ask('GET', 'gardens/home/beds')).body.code).toBe('UNKNOWN_GARDEN')
    expect((await api.ask('GET', 'gardens/home/today')).body.code).toBe('UNKNOWN_GARDEN')
  })

  it('shows nodes that publish before the garden is set up', async () => {
    await api.store(readingsOf('air-temp', '2027-06-15T11:59:00Z', 1, 60, () => 17.4, 'early'))
    const { status, body } = await api.ask('GET', 'gardens/home/nodes')
    expect(status).toBe(200)
    expect(body).toMatchObject([
      { id: 'early', name: null, bed: null, latest: [{ quantity: 'air-temp', value: 17.4, unit: '°C' }] },
    ])
  })

  it('sets a garden up with 201, changes it with 200, and gives it back', async () => {
    expect((await api.ask('PUT', 'gardens/home', COPENHAGEN)).status).toBe(201)
    const changed = await api.ask('PUT', 'gardens/home', { ...COPENHAGEN, name: 'Plot 12' })
    expect(changed).toMatchObject({ status: 200, body: { id: 'home', name: 'Plot 12' } })
    expect((await api.ask('GET', 'gardens')).body).toEqual([{ id: 'home', ...COPENHAGEN, name: 'Plot 12' }])
  })
})

describe('garden data', () => {
  let api: ApiFixture
  const heard: LiveEvent[] = []
  beforeAll(async () => {
    api = await openApi()
    await api.setUpHome()
    api.deps.live.subscribe('home', (event) => heard.push(event))
  })
  afterAll(() => api.close())

  it('names each field of a garden that cannot be', async () => {
    const { status, body } = await api.ask('PUT', 'gardens/home', {
      ...COPENHAGEN,
      latitudeDeg: 91,
      timeZone: 'Europe/Atlantis',
    })
    expect(status).toBe(400)
    expect(body.code).toBe('INVALID_INPUT')
    expect(body.problems.map((p: { field: string }) => p.field).sort()).toEqual(['latitudeDeg', 'timeZone'])
  })

  it('refuses a misspelt field instead of dropping it', async () => {
    const { status, body } = await api.ask('PUT', 'gardens/home/beds/long', { ...LONG_BED, depth: 1 })
    expect(status).toBe(400)
    expect(body.detail).toContain('depth')
  })

  it('makes, changes, lists and deletes a bed', async () => {
    expect((await api.ask('PUT', 'gardens/home/beds/tub', { ...LONG_BED, name: 'Tub' })).status).toBe(201)
    expect((await api.ask('PUT', 'gardens/home/beds/tub', { ...LONG_BED, name: 'Zinc tub' })).status).toBe(
      200,
    )
    expect((await api.ask('GET', 'gardens/home/beds/tub')).body).toMatchObject({
      id: 'tub',
      name: 'Zinc tub',
    })
    expect((await api.ask('GET', 'gardens/home/beds')).body).toHaveLength(2)
    expect(await api.ask('DELETE', 'gardens/home/beds/tub')).toMatchObject({ status: 204, body: '' })
    expect((await api.ask('DELETE', 'gardens/home/beds/tub')).body.code).toBe('UNKNOWN_BED')
    expect((await api.ask('GET', 'gardens/home/beds/tub')).status).toBe(404)
  })

  it('keeps a bed that is still used, and says so', async () => {
    expect(await api.ask('DELETE', 'gardens/home/beds/long')).toMatchObject({
      status: 409,
      body: { code: 'STILL_USED' },
    })
  })

  it('names a node and forgets the name', async () => {
    expect((await api.ask('PUT', 'gardens/home/nodes/n9', { name: 'spare' })).status).toBe(201)
    expect((await api.ask('GET', 'gardens/home/nodes/n9')).body).toMatchObject({
      name: 'spare',
      lastSeen: null,
    })
    expect((await api.ask('DELETE', 'gardens/home/nodes/n9')).status).toBe(204)
    expect((await api.ask('GET', 'gardens/home/nodes/n9')).body.code).toBe('UNKNOWN_NODE')
  })

  it('shows what was refused of a node, and its presence', async () => {
    api.presences.set('home/n1', { presence: 'asleep', atMs: Date.parse('2027-06-15T11:00:00Z') })
    const refusal = { garden: 'home', node: 'n1', excerpt: '{"a":', atMs: Date.parse('2027-06-15T10:00:00Z') }
    api.refusals.set('home/n1', [
      { ...refusal, reason: 'unit', message: 'a unit' },
      { ...refusal, reason: 'not-json', message: 'not JSON' },
    ])
    expect((await api.ask('GET', 'gardens/home/nodes/n1')).body).toMatchObject({
      bed: 'long',
      presence: 'asleep',
      lastSeen: '2027-06-15T13:00:00+02:00',
      refusals: {
        total: 2,
        byReason: { unit: 1, 'not-json': 1 },
        latest: {
          at: '2027-06-15T12:00:00+02:00',
          reason: 'not-json',
          message: 'not JSON',
          excerpt: '{"a":',
        },
      },
    })
  })

  it('moves a node: ends one placement and starts the next', async () => {
    await api.ask('PUT', 'gardens/home/beds/shade', { ...LONG_BED, name: 'Shady bed' })
    const [first] = (await api.ask('GET', 'gardens/home/placements?bed=long')).body
    const overlapping = { node: 'n1', bed: 'shade', from: '2027-06-01T08:00:00+02:00' }
    expect((await api.ask('POST', 'gardens/home/placements', overlapping)).body.code).toBe('OVERLAP')

    const ended = { node: 'n1', bed: 'long', from: first.from, to: '2027-06-01T08:00:00+02:00' }
    expect((await api.ask('PUT', `gardens/home/placements/${first.id}`, ended)).status).toBe(200)
    const second = await api.ask('POST', 'gardens/home/placements', overlapping)
    expect(second).toMatchObject({ status: 201, body: { bed: 'shade', to: null } })
    expect((await api.ask('GET', `gardens/home/placements/${second.body.id}`)).body).toEqual(second.body)
    expect((await api.ask('GET', 'gardens/home/nodes/n1')).body.bed).toBe('shade')

    expect((await api.ask('DELETE', `gardens/home/placements/${second.body.id}`)).status).toBe(204)
    expect((await api.ask('GET', `gardens/home/placements/${second.body.id}`)).body.code).toBe(
      'UNKNOWN_PLACEMENT',
    )
  })

  it('refuses a placement that ends before it starts, or stands in no bed', async () => {
    const backwards = { node: 'n1', bed: 'long', from: '2026-05-02T00:00:00Z', to: '2026-05-01T00:00:00Z' }
    expect((await api.ask('POST', 'gardens/home/placements', backwards)).body.problems).toMatchObject([
      { field: 'to' },
    ])
    const ancient = { node: 'n1', bed: 'long', from: '0202-05-02T00:00:00Z', to: '0202-06-01T00:00:00Z' }
    expect((await api.ask('POST', 'gardens/home/placements', ancient)).body.problems).toMatchObject([
      { field: 'from' },
    ])
    const nowhere = { node: 'n1', bed: 'nowhere', from: '2026-05-01T00:00:00Z', to: '2026-05-02T00:00:00Z' }
    expect(await api.ask('POST', 'gardens/home/placements', nowhere)).toMatchObject({
      status: 400,
      body: { problems: [{ field: 'bed' }] },
    })
  })

  const cabbage = {
    bed: 'long',
    crop: 'cabbage-mid',
    sownOn: '2027-03-10',
    plantedOutOn: '2027-04-20',
    plants: 8,
    spacingM: 0.45,
  }

  it('keeps plantings', async () => {
    const made = await api.ask('POST', 'gardens/home/plantings', cabbage)
    expect(made).toMatchObject({ status: 201, body: { ...cabbage, variety: null, finishedOn: null } })
    const address = `gardens/home/plantings/${made.body.id}`
    expect((await api.ask('GET', address)).body).toEqual(made.body)
    expect((await api.ask('GET', 'gardens/home/plantings?bed=long')).body).toEqual([made.body])
    expect((await api.ask('GET', 'gardens/home/plantings?bed=shade')).body).toEqual([])
    const finished = { ...cabbage, variety: 'Pointed', finishedOn: '2027-07-30' }
    expect(await api.ask('PUT', address, finished)).toMatchObject({ status: 200, body: finished })
    expect((await api.ask('DELETE', address)).status).toBe(204)
    expect((await api.ask('GET', address)).body.code).toBe('UNKNOWN_PLANTING')
  })

  it.each([
    ['an unknown crop', { crop: 'moon-cabbage' }, 'crop'],
    ['no date at all', { sownOn: null, plantedOutOn: null }, 'sownOn'],
    ['planting out before sowing', { plantedOutOn: '2027-03-09' }, 'plantedOutOn'],
    ['an end before the start', { finishedOn: '2027-04-01' }, 'finishedOn'],
    ['a slip of the finger', { sownOn: '0202-03-10' }, 'sownOn'],
    ['a year that is far away', { plantedOutOn: '2207-04-20' }, 'plantedOutOn'],
    ['no end after years', { sownOn: '2021-03-10' }, 'finishedOn'],
    ['an end after years', { sownOn: '2021-03-10', finishedOn: '2027-03-10' }, 'finishedOn'],
    ['half a plant', { plants: 0.5 }, 'plants'],
    ['a day that never was', { sownOn: '2027-02-30' }, 'sownOn'],
    ['a bed that is not there', { bed: 'nowhere' }, 'bed'],
  ])('refuses a planting with %s, at its field', async (_name, change, field) => {
    const { status, body } = await api.ask('POST', 'gardens/home/plantings', { ...cabbage, ...change })
    expect(status).toBe(400)
    expect(body.problems).toMatchObject([{ field }])
  })

  it('tells pages that the garden changed', async () => {
    heard.length = 0
    await api.ask('PUT', 'gardens/home/beds/shade', { ...LONG_BED, name: 'Shade' })
    await api.ask('GET', 'gardens/home/beds')
    expect(heard).toEqual([{ type: 'garden' }])
  })
})

describe('crops', () => {
  it('come with a name and spacing, and every figure with its source', async () => {
    const api = await openApi()
    const { status, body } = await api.ask('GET', 'crops')
    await api.close()
    expect(status).toBe(200)
    expect(body.map((crop: { id: string }) => crop.id)).toContain('cabbage-mid')
    for (const crop of body) {
      expect(crop.name).not.toBe('')
      expect(crop.spacingM).toBeGreaterThan(0)
      expect(crop.figures.length).toBeGreaterThan(5)
      for (const figure of crop.figures) expect(figure.note).not.toBe('')
    }
  })
})
