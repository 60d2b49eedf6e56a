import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type ApiFixture, COPENHAGEN, openApi } from './api-fixture.js'

const TODAY = '2027-06-15'

let api: ApiFixture
let planting: string
let news: string[]
beforeEach(async () => {
  api = await openApi()
  await api.setUpHome()
  const planted = await api.ask('POST', 'gardens/home/plantings', {
    bed: 'long',
    crop: 'cabbage-early',
    plantedOutOn: '2027-04-10',
    plants: 8,
    spacingM: 0.4,
  })
  expect(planted.status).toBe(201)
  planting = planted.body.id
  news = []
  api.deps.live.subscribe('home', ({ type }) => news.push(type))
})
afterEach(() => api.close())

const CUT = { id: 'cut-on-tuesday', kind: 'cut', on: TODAY, plants: 2, weightKg: 2.4, diameterMm: 160 }
const post = (body: object) => api.ask('POST', 'gardens/home/journal', { planting, ...body })
const put = (id: string, body: object) => api.ask('PUT', `gardens/home/journal/${id}`, { planting, ...body })
const list = async (query = ''): Promise<string[]> =>
  (await api.ask('GET', `gardens/home/journal${query}`)).body.map((entry: { id: string }) => entry.id)
const problemsOf = (body: { problems?: { field: string; message: string }[] }) =>
  Object.fromEntries((body.problems ?? []).map(({ field, message }) => [field, message]))

describe('writing the journal', () => {
  it('writes an entry, tells the pages, and gives it by planting, bed and dates', async () => {
    const { status, body } = await post(CUT)
    expect(status).toBe(201)
    expect(body).toEqual({
      ...CUT,
      planting,
      bed: null,
      firmness: null,
      stemMm: null,
      what: null,
      note: null,
      photos: [],
      writtenAt: '2027-06-15T12:00:00.000Z',
    })
    expect(news).toEqual(['garden'])
    await post({ id: 'watered-a-bed', kind: 'watered', on: '2027-06-01', planting: null, bed: 'long' })
    expect((await api.ask('GET', 'gardens/home/journal/cut-on-tuesday')).body).toEqual(body)
    expect(await list()).toEqual(['watered-a-bed', 'cut-on-tuesday'])
    expect(await list(`?planting=${planting}`)).toEqual(['cut-on-tuesday'])
    expect(await list('?bed=long')).toHaveLength(2)
    expect(await list('?from=2027-06-02')).toEqual(['cut-on-tuesday'])
    expect(await list('?to=2027-06-14&bed=long')).toEqual(['watered-a-bed'])
    expect(await list('?planting=nobody')).toEqual([])
    expect((await api.ask('GET', 'gardens/home/journal?from=June')).status).toBe(400)
  })

  it('makes an id where the page made none', async () => {
    const { status, body } = await post({ ...CUT, id: undefined })
    expect(status).toBe(201)
    expect((await api.ask('GET', `gardens/home/journal/${body.id}`)).body).toEqual(body)
  })

  it('writes what is sent twice once, also both at the same time', async () => {
    const answers = await Promise.all([post(CUT), post(CUT), post({ ...CUT, bed: 'long' })])
    expect(answers.map(({ status }) => status).sort()).toEqual([200, 200, 201])
    const again = await post(CUT)
    expect(again).toMatchObject({ status: 200, body: answers[0]?.body })
    expect(await list()).toEqual(['cut-on-tuesday'])
    expect(news).toEqual(['garden'])
    // fit to be written once: what became of the planting since makes no difference
    await api.ask('PUT', `gardens/home/plantings/${planting}`, {
      bed: 'long',
      crop: 'cabbage-early',
      plantedOutOn: '2027-04-10',
      plants: 8,
      spacingM: 0.4,
      finishedOn: '2027-06-14',
    })
    expect((await post(CUT)).status).toBe(200)
  })

  it('refuses an id that stands for something else', async () => {
    await post(CUT)
    expect(await post({ ...CUT, plants: 3 })).toMatchObject({ status: 409, body: { code: 'ID_TAKEN' } })
    expect((await put('cut-on-tuesday', { ...CUT, id: undefined, plants: 3 })).status).toBe(200)
    expect(await post(CUT)).toMatchObject({ status: 409, body: { code: 'ID_TAKEN' } })
    expect((await api.ask('GET', 'gardens/home/journal/cut-on-tuesday')).body.plants).toBe(3)

    await api.ask('PUT', 'gardens/plot', { ...COPENHAGEN, name: 'Plot' })
    const elsewhere = { id: CUT.id, kind: 'note', on: TODAY, note: 'of another garden' }
    expect(await api.ask('POST', 'gardens/plot/journal', elsewhere)).toMatchObject({
      status: 409,
      body: { code: 'ID_TAKEN', problems: [{ field: 'id' }] },
    })
  })

  it('changes, once however often it is told', async () => {
    const { body: written } = await post(CUT)
    const changed = { kind: 'cut', on: '2027-06-14', plants: 2, weightKg: 2.6, note: 'weighed again' }
    const first = await put('cut-on-tuesday', changed)
    expect(first).toMatchObject({ status: 200, body: { ...changed, diameterMm: null } })
    expect(first.body.writtenAt).toBe(written.writtenAt)
    expect(await put('cut-on-tuesday', changed)).toMatchObject({ status: 200, body: first.body })
    expect(news).toEqual(['garden', 'garden'])
    expect(await put('never-written', changed)).toMatchObject({
      status: 404,
      body: { code: 'UNKNOWN_ENTRY' },
    })
  })

  it('takes back for good, also what has not arrived yet', async () => {
    await post(CUT)
    const remove = (id: string) => api.ask('DELETE', `gardens/home/journal/${id}`)
    expect((await remove('cut-on-tuesday')).status).toBe(204)
    expect((await remove('cut-on-tuesday')).status).toBe(204)
    expect((await remove('still-on-a-phone')).status).toBe(204)
    for (const answer of [
      await post(CUT),
      await post({ ...CUT, id: 'still-on-a-phone' }),
      // not even looked into
      await post({ ...CUT, planting: 'long gone' }),
      await put('cut-on-tuesday', { kind: 'weeded', on: TODAY }),
      await api.ask('GET', 'gardens/home/journal/cut-on-tuesday'),
    ]) {
      expect(answer).toMatchObject({ status: 410, body: { code: 'TAKEN_BACK' } })
    }
    expect(await list()).toEqual([])
  })

  it('says at each field what is wrong with it', async () => {
    const wrong = await post({ ...CUT, on: '2027-06-16', plants: 9, bed: 'gone', stemMm: 4 })
    expect(wrong.status).toBe(400)
    const problems = problemsOf(wrong.body)
    expect(Object.keys(problems).sort()).toEqual(['bed', 'on', 'plants', 'stemMm'])
    expect(problems.on).toContain('still to come')

    const early = await post({ ...CUT, on: '2027-04-09' })
    expect(problemsOf(early.body).on).toContain('harvested before planting out')
    await post({ id: 'lost-to-slugs', kind: 'lost', on: '2027-05-01', plants: 7 })
    expect(problemsOf((await post(CUT)).body).plants).toBe('7 of 8 are cut or lost already: 1 is left')
    // its own plants do not count against it
    expect((await put('lost-to-slugs', { kind: 'lost', on: '2027-05-02', plants: 8 })).status).toBe(200)
    expect(await list()).toEqual(['lost-to-slugs'])
  })

  const WORDS: [object, string, string][] = [
    [{ weightKg: -1 }, 'weightKg', 'must be more than 0'],
    [{ weightKg: 'two' }, 'weightKg', 'give a number'],
    [{ weightKg: 5_000 }, 'weightKg', 'at most 1000 kg'],
    [{ diameterMm: 0 }, 'diameterMm', 'must be more than 0'],
    [{ plants: 1.5 }, 'plants', 'give a whole number'],
    [{ plants: '' }, 'plants', 'give a whole number'],
    [{ plants: 0 }, 'plants', 'must be more than 0'],
    [{ on: '' }, 'on', 'use a calendar date, YYYY-MM-DD'],
    [{ on: null }, 'on', 'use a calendar date, YYYY-MM-DD'],
    [{ kind: 'eaten' }, 'kind', 'choose what was done or seen'],
    [{ kind: undefined }, 'kind', 'choose what was done or seen'],
    [{ firmness: 'hard' }, 'firmness', 'say how it felt: soft, giving or firm'],
    [{ note: 'x'.repeat(2_001) }, 'note', 'at most 2000 characters'],
    [{ bed: 'The Long Bed' }, 'bed', 'choose one of the beds'],
    [{ planting: '' }, 'planting', 'choose one of the plantings'],
    [{ id: 'Tiny' }, 'id', 'use 8 to 40 small letters, digits or hyphens'],
  ]
  it('says in plain words what a field wants', async () => {
    for (const [parts, field, message] of WORDS) {
      const { status, body } = await post({ ...CUT, ...parts })
      expect([status, problemsOf(body)]).toEqual([400, { [field]: message }])
    }
  })

  it('sets the dates of plantings, and lets them go with their journal only when told', async () => {
    const path = `gardens/home/plantings/${planting}`
    await post({ id: 'sown-in-march', kind: 'sown', on: '2027-03-02' })
    expect((await api.ask('GET', path)).body).toMatchObject({
      sownOn: '2027-03-02',
      plantedOutOn: '2027-04-10',
    })
    expect(await api.ask('DELETE', path)).toMatchObject({ status: 409, body: { code: 'STILL_USED' } })
    expect((await api.ask('DELETE', `${path}?withJournal=false`)).status).toBe(409)
    expect((await api.ask('DELETE', `${path}?withJournal=true`)).status).toBe(204)
    expect(await list()).toEqual([])
  })
})

describe('photos', () => {
  const PNG = Buffer.from('89504e470d0a1a0a0000000d49484452', 'hex')
  const JPEG = Buffer.from('ffd8ffe000104a464946', 'hex')
  const WEBP = Buffer.from('RIFF\x1a\0\0\0WEBPVP8L', 'latin1')
  const path = (id: string, entry = 'cut-on-tuesday') => `/api/v1/gardens/home/journal/${entry}/photos/${id}`
  const send = (url: string, payload: Buffer | string, type: string) =>
    api.app.inject({ method: 'PUT', url, payload, headers: { 'content-type': type } })
  beforeEach(() => post(CUT))

  it.each([
    ['image/png', PNG],
    ['image/jpeg', JPEG],
    ['image/webp', WEBP],
  ])('of the type %s come back byte by byte, for a browser to keep', async (type, image) => {
    const put = await send(path('photo-001'), image, type)
    expect([put.statusCode, put.json()]).toEqual([
      201,
      { id: 'photo-001', mediaType: type, bytes: image.length },
    ])
    expect((await send(path('photo-001'), image, type)).statusCode).toBe(200)
    const got = await api.app.inject({ method: 'GET', url: path('photo-001') })
    expect(got.rawPayload.equals(image)).toBe(true)
    expect(got.headers).toMatchObject({
      'content-type': type,
      'cache-control': 'private, max-age=31536000, immutable',
      'x-content-type-options': 'nosniff',
    })
    const { body } = await api.ask('GET', 'gardens/home/journal/cut-on-tuesday')
    expect(body.photos).toEqual([{ id: 'photo-001', mediaType: type, bytes: image.length }])
    const gone = await api.app.inject({ method: 'DELETE', url: path('photo-001') })
    expect(gone.statusCode).toBe(204)
    expect((await api.app.inject({ method: 'GET', url: path('photo-001') })).json().code).toBe(
      'UNKNOWN_PHOTO',
    )
    expect((await api.app.inject({ method: 'DELETE', url: path('photo-001') })).statusCode).toBe(204)
  })

  it('lose what a phone wrote beside the picture, and are the same photo when they are sent again', async () => {
    const place = Buffer.from('\xff\xe1\x00\x1bExif\0\0GPS 55.7 N 12.5 E  ', 'latin1')
    const sent = Buffer.concat([JPEG.subarray(0, 2), place, Buffer.from('ffda0002010203ffd9', 'hex')])
    const put = await send(path('photo-001'), sent, 'image/jpeg')
    expect([put.statusCode, put.json().bytes]).toEqual([201, sent.length - place.length])
    expect((await send(path('photo-001'), sent, 'image/jpeg')).statusCode).toBe(200)
    const got = await api.app.inject({ method: 'GET', url: path('photo-001') })
    expect(got.rawPayload.includes('GPS')).toBe(false)
    expect(got.rawPayload).toHaveLength(sent.length - place.length)
  })

  it('must be what they are called, and not too large', async () => {
    const code = async (url: string, payload: Buffer | string, type: string) => {
      const answer = await send(url, payload, type)
      return `${answer.statusCode} ${answer.json().code}`
    }
    expect(await code(path('photo-001'), PNG, 'image/jpeg')).toBe('415 NOT_A_PHOTO')
    expect(await code(path('photo-001'), '<svg onload="x()"/>', 'image/png')).toBe('415 NOT_A_PHOTO')
    expect(await code(path('photo-001'), '<svg onload="x()"/>', 'image/svg+xml')).toBe('415 NOT_A_PHOTO')
    expect(await code(path('photo-001'), '{}', 'application/json')).toBe('415 NOT_A_PHOTO')
    expect(await code(path('photo-001'), '', 'image/png')).toBe('415 NOT_A_PHOTO')
    const large = Buffer.concat([PNG, Buffer.alloc(4 * 1024 * 1024)])
    expect(await code(path('photo-001'), large, 'image/png')).toBe('413 PHOTO_TOO_LARGE')
    expect((await send(path('photo-001'), large.subarray(0, 4 * 1024 * 1024), 'image/png')).statusCode).toBe(
      201,
    )
    expect(await code(path('photo-001'), PNG, 'image/png')).toBe('409 ID_TAKEN')
    expect(await code(path('photo-002', 'never-written'), PNG, 'image/png')).toBe('404 UNKNOWN_ENTRY')
    for (let i = 2; i <= 6; i++) await send(path(`photo-00${i}`), PNG, 'image/png')
    expect(await code(path('photo-007'), PNG, 'image/png')).toBe('409 TOO_MANY_PHOTOS')
    await api.ask('DELETE', 'gardens/home/journal/cut-on-tuesday')
    expect(await code(path('photo-007'), PNG, 'image/png')).toBe('410 TAKEN_BACK')
  })

  it('are taken at their own addresses only', async () => {
    const elsewhere = await send('/api/v1/gardens/home/beds/long', PNG, 'image/png')
    expect([elsewhere.statusCode, elsewhere.json().code]).toEqual([415, 'UNSUPPORTED_MEDIA_TYPE'])
    const long = await api.ask('POST', 'gardens/home/journal', { note: 'x'.repeat(70_000) })
    expect(long.status).toBe(413)
  })
})
