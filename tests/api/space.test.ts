import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type ApiFixture, openApi } from './api-fixture.js'

const FOOT_M = 0.3048
const INCH_M = 0.0254
interface Layout {
  readonly pattern: string
  readonly edge: string
  readonly plants: number
  readonly spots: { readonly xM: number[]; readonly yM: number[] } | null
}

describe('room for plants', () => {
  let api: ApiFixture
  beforeAll(async () => {
    api = await openApi()
    await api.setUpHome()
    const square = { lengthM: 4 * FOOT_M, widthM: 4 * FOOT_M }
    await api.ask('PUT', 'gardens/home/beds/four', { name: 'Four by four', kind: 'raised', ...square })
    const pot = { name: 'Pot', kind: 'container', lengthM: 0.4064, widthM: 0.4064, depthM: 0.3 }
    await api.ask('PUT', 'gardens/home/beds/pot', pot)
  })
  afterAll(() => api.close())

  const space = (query: Record<string, string | number>) =>
    api.ask(
      'GET',
      `gardens/home/space?${new URLSearchParams(Object.entries(query).map(([k, v]): [string, string] => [k, String(v)]))}`,
    )
  const layout = (body: { layouts: Layout[] }, pattern: string, edge = 'own-square'): Layout =>
    body.layouts.find((one) => one.pattern === pattern && one.edge === edge)!

  it('lays nine heads at sixteen inches into a bed of four by four feet, in metres', async () => {
    const { status, body } = await space({ bed: 'four', crop: 'cabbage-early', spacingM: 0.4064 })
    expect(status).toBe(200)
    const { plants, spots } = layout(body, 'square')
    expect(plants).toBe(9)
    expect(spots!.xM.map((x) => Math.round(x / INCH_M))).toEqual([8, 24, 40, 8, 24, 40, 8, 24, 40])
    expect(spots!.yM.map((y) => Math.round(y / INCH_M))).toEqual([8, 8, 8, 24, 24, 24, 40, 40, 40])
    expect(body).toMatchObject({ holds: 9, bed: 'four', shape: 'rectangle', neighbours: [], roomBeside: 9 })
    expect(body.head.square).toMatchObject({
      source: expect.any(String),
      note: expect.stringMatching(/Kołota/),
    })
    expect(body.head.square.lowKg).toBeLessThan(body.head.square.highKg)
  })

  it('puts one plant into a round container sixteen inches wide, kept or only thought of', async () => {
    const thought = await space({ shape: 'round', lengthM: 0.4064, crop: 'cabbage-mid', spacingM: 0.4064 })
    expect(layout(thought.body, 'rings')).toMatchObject({ plants: 1, spots: { xM: [0.2032], yM: [0.2032] } })
    const kept = await space({ bed: 'pot', shape: 'round', crop: 'cabbage-mid', spacingM: 0.4064 })
    expect(layout(kept.body, 'rings')).toMatchObject({ plants: 1 })
    expect(kept.body).toMatchObject({ shape: 'round', depthM: 0.3, bySoil: 1 })
  })

  it('begins with the crop’s usual spacing, and says where it is from', async () => {
    const { body } = await space({ lengthM: 3, widthM: 1.2, crop: 'cabbage-early' })
    expect(body).toMatchObject({
      bed: null,
      spacingM: 0.35,
      room: { room: 'usual' },
      usual: { source: 'published' },
    })
    expect(body.usual.note).not.toBe('')
  })

  it('sets spacings side by side', async () => {
    const { body } = await space({ bed: 'four', crop: 'cabbage-mid', comparedM: '0.3048,0.4064,0.4572' })
    expect(body.compared.map((one: { square: number }) => one.square)).toEqual([16, 9, 4])
    expect(body.compared[2].fullest).toBe(6)
    const kg = body.compared.map((one: { head: { highKg: number } }) => one.head.highKg)
    expect(kg).toEqual([...kg].sort((a, b) => a - b))
  })

  it('gives no head size where no trial is known', async () => {
    expect((await space({ bed: 'four', crop: 'lettuce-head' })).body.head).toBeNull()
  })

  it('tells what stands in the bed in those weeks, and how many have room beside it', async () => {
    const eight = { bed: 'four', crop: 'cabbage-early', plants: 8, spacingM: 0.4 }
    const planted = await api.ask('POST', 'gardens/home/plantings', { ...eight, plantedOutOn: '2027-06-01' })
    expect(planted.status).toBe(201)
    const question = { bed: 'four', crop: 'cabbage-early', spacingM: 0.4 }
    const { body } = await space({ ...question, from: '2027-06-20' })
    expect(body.neighbours).toMatchObject([{ planting: planted.body.id, plants: 8, isGuessed: true }])
    expect(body.roomBeside).toBe(1)
    expect((await space({ ...question, from: '2028-06-20' })).body).toMatchObject({
      neighbours: [],
      roomBeside: 9,
    })
    const except = await space({ ...question, from: '2027-06-20', except: planted.body.id })
    expect(except.body).toMatchObject({ neighbours: [], roomBeside: 9 })
    await api.ask('DELETE', `gardens/home/plantings/${planted.body.id}`)
  })

  it.each([
    ['neither bed nor lengths', { crop: 'kale' }, 'lengthM'],
    ['half a size', { crop: 'kale', lengthM: 2 }, 'widthM'],
    ['a bed and lengths', { crop: 'kale', bed: 'four', widthM: 2 }, 'widthM'],
    ['a long bed as a round one', { crop: 'kale', bed: 'long', shape: 'round' }, 'shape'],
    ['an unknown crop', { crop: 'moon-cabbage', bed: 'four' }, 'crop'],
    ['a field full of cress', { crop: 'kale', lengthM: 200, widthM: 200, spacingM: 0.02 }, 'spacingM'],
    ['no spacing at all', { crop: 'kale', bed: 'four', spacingM: 0 }, 'spacingM'],
    ['spacings that are none', { crop: 'kale', bed: 'four', comparedM: '0.3,wide' }, 'comparedM'],
  ])('refuses %s, at its field', async (_name, query, field) => {
    const { status, body } = await space(query)
    expect(status).toBe(400)
    expect(body.problems).toMatchObject([{ field }])
  })

  it('knows no bed that is not there', async () => {
    expect(await space({ crop: 'kale', bed: 'nowhere' })).toMatchObject({
      status: 404,
      body: { code: 'UNKNOWN_BED' },
    })
  })
})

describe('two plantings in one spot', () => {
  let api: ApiFixture
  beforeAll(async () => {
    api = await openApi()
    await api.setUpHome()
    await api.ask('PUT', 'gardens/home/beds/south', {
      name: 'South bed',
      kind: 'raised',
      lengthM: 1.2,
      widthM: 1.2,
    })
  })
  afterAll(() => api.close())

  const EIGHT = {
    bed: 'south',
    crop: 'cabbage-early',
    plantedOutOn: '2027-06-01',
    finishedOn: '2027-08-20',
    plants: 8,
    spacingM: 0.4,
  }
  const plant = (parts: object) => api.ask('POST', 'gardens/home/plantings', { ...EIGHT, ...parts })

  it('are told with their numbers, and taken when they are meant', async () => {
    const first = await plant({})
    expect(first.status).toBe(201)
    const second = await plant({ plantedOutOn: '2027-07-01', plants: 2 })
    expect(second.status).toBe(400)
    expect(second.body.problems.map((p: { field: string }) => p.field)).toEqual([
      'plants',
      'isTightOnPurpose',
    ])
    expect(second.body.problems[0].message.replaceAll('\u00a0', ' ')).toBe(
      'South bed holds 9 at 40 cm; 8 of Cabbage, early stand there until 20 August 2027: room for 1',
    )
    const meant = await plant({ plantedOutOn: '2027-07-01', plants: 2, isTightOnPurpose: true })
    expect(meant.status).toBe(201)
    expect(meant.body).not.toHaveProperty('isTightOnPurpose')

    // what is tight already can still be finished without being asked again
    const address = `gardens/home/plantings/${meant.body.id}`
    const { id: _, ...kept } = meant.body
    expect((await api.ask('PUT', address, { ...kept, finishedOn: '2027-07-30' })).status).toBe(200)
    expect((await api.ask('PUT', address, { ...kept, plants: 5 })).body.problems).toMatchObject([
      { field: 'plants' },
      { field: 'isTightOnPurpose' },
    ])
    for (const { body } of [first, meant]) await api.ask('DELETE', `gardens/home/plantings/${body.id}`)
  })

  it('does not count a planting against itself', async () => {
    const { body } = await plant({})
    const { id, ...kept } = body
    expect((await api.ask('PUT', `gardens/home/plantings/${id}`, { ...kept, plants: 9 })).status).toBe(200)
    await api.ask('DELETE', `gardens/home/plantings/${id}`)
  })

  it('never takes what is impossible, meant or not', async () => {
    const wide = await plant({ spacingM: 1.5, isTightOnPurpose: true })
    expect(wide.status).toBe(400)
    expect(wide.body.problems).toMatchObject([
      { field: 'spacingM', message: expect.stringMatching(/^wider than South bed/) },
    ])
    const backwards = await plant({ finishedOn: '2027-05-01', isTightOnPurpose: true })
    expect(backwards.body.problems).toMatchObject([
      { field: 'finishedOn', message: 'must not be before it was planted out' },
    ])
  })
})
