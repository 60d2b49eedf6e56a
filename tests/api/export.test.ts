/** The grower's data by HTTP: which rows are given, to whom, and that what breaks off is seen to have broken off. */
import { randomBytes } from 'node:crypto'
import { parse } from 'csv-parse/sync'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { StoreError } from '../../hub/store/port.js'
import { type ApiFixture, openApi, readingsOf } from './api-fixture.js'

let api: ApiFixture
beforeAll(async () => {
  api = await openApi()
  await api.setUpHome()
})
afterAll(() => api.close())

const rowsOf = async (query: string): Promise<string[][]> => {
  const { status, body } = await api.ask('GET', `gardens/home/export.csv?${query}`)
  expect(status).toBe(200)
  const [, ...rows] = parse(body, { recordDelimiter: '\r\n' }) as string[][]
  return rows
}
const timesOf = async (query: string): Promise<string[]> => (await rowsOf(query)).map((row) => row[3] ?? '')

describe('a table by HTTP', () => {
  it('is of the local days asked for, both included', async () => {
    // an hour around each midnight of Copenhagen, which is at 22:00 UTC in summer
    await api.store(readingsOf('air-temp', '2027-05-30T21:59:59Z', 4, 86_400, () => 12))
    await api.store(readingsOf('air-temp', '2027-05-30T22:00:00Z', 4, 86_400, () => 13))
    expect(await timesOf('what=readings&from=2027-05-31&to=2027-06-01')).toEqual([
      '2027-05-30T22:00:00.000Z',
      '2027-05-31T21:59:59.000Z',
      '2027-05-31T22:00:00.000Z',
      '2027-06-01T21:59:59.000Z',
    ])
    expect(await timesOf('what=readings&from=2027-06-02')).toHaveLength(3)
    expect(await timesOf('what=readings&bed=long')).toHaveLength(8)
    const days = await rowsOf('what=days&from=2027-05-31&to=2027-06-01')
    expect(days.map((row) => row[2])).toEqual(['2027-05-31', '2027-06-01'])
  })

  it('is of a bed what nodes measured while they stood in it', async () => {
    await api.ask('PUT', 'gardens/home/nodes/n2', { name: 'lent' })
    const stood = { node: 'n2', bed: 'long', from: '2027-04-01T10:00:00Z', to: '2027-04-01T12:00:00Z' }
    expect((await api.ask('POST', 'gardens/home/placements', stood)).status).toBe(201)
    await api.store(readingsOf('air-temp', '2027-04-01T09:00:00Z', 4, 3_600, () => 12, 'n2'))
    await api.store(readingsOf('air-temp', '2027-04-01T09:00:00Z', 4, 3_600, () => 12, 'elsewhere'))
    expect(await timesOf('what=readings&bed=long&to=2027-04-30')).toEqual([
      '2027-04-01T10:00:00.000Z',
      '2027-04-01T11:00:00.000Z',
    ])
  })

  it('has a name that says what is in it', async () => {
    const { headers } = await api.ask('GET', 'gardens/home/export.csv?what=days&bed=long&to=2027-05-31')
    expect(headers['content-type']).toBe('text/csv; charset=utf-8; header=present')
    expect(headers['content-disposition']).toBe('attachment; filename="home-days-long-to-2027-05-31.csv"')
  })

  it.each([
    ['what=photos', 'what'],
    ['', 'what'],
    ['what=days&from=2027-06-02&to=2027-06-01', 'to'],
    ['what=days&from=May', 'from'],
    ['what=days&bed=The%20bed', 'bed'],
  ])('refuses %s, naming the field', async (query, field) => {
    const { status, body } = await api.ask('GET', `gardens/home/export.csv?${query}`)
    expect([status, body.problems[0].field]).toEqual([400, field])
  })

  it('knows no bed and no garden that is not there', async () => {
    for (const [path, code] of [
      ['home/export.csv?what=days&bed=nowhere', 'UNKNOWN_BED'],
      ['nowhere/export.csv?what=days', 'UNKNOWN_GARDEN'],
      ['nowhere/export.json', 'UNKNOWN_GARDEN'],
    ]) {
      expect(await api.ask('GET', `gardens/${path}`)).toMatchObject({ status: 404, body: { code } })
    }
  })
})

describe('a table that breaks off', () => {
  it.each(['identity', 'gzip'])('is no whole answer to who reads it (%s)', async (encoding) => {
    let pieces = 0
    const failing = await openApi(({ keep }) => ({
      keep: {
        ...keep,
        async *readingsCsv() {
          // more than any buffer on the way holds, and nothing that packs well
          for (; pieces < 500; pieces++) yield `${randomBytes(1_000).toString('hex')}\n`
          throw new StoreError('STORE_UNAVAILABLE', 'the disk is gone', true)
        },
      },
    }))
    try {
      await failing.setUpHome()
      const base = await failing.app.listen({ host: '127.0.0.1', port: 0 })
      const response = await fetch(`${base}/api/v1/gardens/home/export.csv?what=readings`, {
        headers: { 'accept-encoding': encoding },
      })
      expect(response.status).toBe(200)
      await expect(response.text()).rejects.toThrow()
      expect(pieces).toBe(500)
    } finally {
      await failing.close()
    }
  })
})
