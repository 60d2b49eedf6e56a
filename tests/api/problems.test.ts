import { request as httpRequest } from 'node:http'
import { type AddressInfo, connect } from 'node:net'
import fc from 'fast-check'
import type { InjectOptions } from 'fastify'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { PROBLEMS } from '../../hub/api/problems.js'
import { GardenError } from '../../hub/garden/port.js'
import { StoreError } from '../../hub/store/port.js'
import { type ApiFixture, openApi } from './api-fixture.js'

describe('whatever goes wrong', () => {
  let api: ApiFixture
  beforeAll(async () => {
    api = await openApi()
    await api.setUpHome()
  })
  afterAll(() => api.close())

  const raw = (options: {
    method: string
    url: string
    headers?: Record<string, string>
    payload?: string
  }) => api.app.inject(options as InjectOptions)

  it.each([
    ['an address that is not there', { method: 'GET', url: '/api/v2' }, 404, 'NOT_FOUND'],
    ['a page that is not there', { method: 'GET', url: '/admin.php' }, 404, 'NOT_FOUND'],
    ['a wrong method', { method: 'POST', url: '/api/v1/gardens' }, 405, 'METHOD_NOT_ALLOWED'],
    ['deleting a garden', { method: 'DELETE', url: '/api/v1/gardens/home' }, 405, 'METHOD_NOT_ALLOWED'],
    ['an id with dots', { method: 'GET', url: '/api/v1/gardens/home/beds/..%2f' }, 400, 'INVALID_INPUT'],
    ['a broken escape', { method: 'GET', url: '/api/v1/gardens/%zz' }, 400, 'BAD_REQUEST'],
    ['broken JSON', put('{"name":'), 400, 'BAD_REQUEST'],
    ['an empty body', put(''), 400, 'BAD_REQUEST'],
    ['a body that is an array', put('[]'), 400, 'INVALID_INPUT'],
    ['a body that reaches for the prototype', put('{"__proto__":{"a":1}}'), 400, 'BAD_REQUEST'],
    [
      'a body of another type',
      put('name=x', 'application/x-www-form-urlencoded'),
      415,
      'UNSUPPORTED_MEDIA_TYPE',
    ],
    ['a huge body', put(`{"name":"${'x'.repeat(70_000)}"}`), 413, 'BODY_TOO_LARGE'],
    [
      'a change from a page of another site',
      { method: 'DELETE', url: '/api/v1/gardens/home/beds/long', headers: { origin: 'http://evil.example' } },
      403,
      'FOREIGN_ORIGIN',
    ],
    [
      'a name that was made to lead here',
      { method: 'GET', url: '/api/v1/gardens', headers: { host: 'evil.example' } },
      421,
      'UNKNOWN_HOST',
    ],
  ] as const)('%s is a problem with code, status and words', async (_name, options, status, code) => {
    const response = await raw(options)
    expect(response.statusCode).toBe(status)
    expect(response.headers['content-type']).toContain('application/problem+json')
    const body = response.json()
    expect(body).toMatchObject({ status, code, title: PROBLEMS[code].title })
    expect(body.detail.length).toBeGreaterThan(10)
    const explained = await raw({ method: 'GET', url: body.type })
    expect(explained.json()).toMatchObject({ code, remedy: PROBLEMS[code].remedy })
  })

  it('says which methods an address takes', async () => {
    const response = await raw({ method: 'PATCH', url: '/api/v1/gardens/home/beds/long' })
    expect(response.headers.allow).toBe('DELETE, GET, HEAD, PUT')
  })

  it('lets the page of the hub itself make changes', async () => {
    const response = await raw({
      method: 'PUT',
      url: '/api/v1/gardens/home/nodes/n2',
      headers: { origin: 'http://localhost:80', host: 'localhost', 'content-type': 'application/json' },
      payload: '{"name":"a"}',
    })
    expect(response.statusCode).toBe(201)
  })

  it('explains every kind of problem at one address each', async () => {
    const { body } = await api.ask('GET', 'problems')
    expect(body.map((p: { code: string }) => p.code).sort()).toEqual(Object.keys(PROBLEMS).sort())
    for (const { type } of body) expect((await api.ask('GET', type)).status).toBe(200)
    expect((await api.ask('GET', 'problems/none')).status).toBe(404)
  })

  it('no query makes it fail, whatever it holds', async () => {
    const anything = fc.oneof(
      fc.string({ maxLength: 30 }),
      fc.string({ unit: 'grapheme', maxLength: 10 }),
      fc.constantFrom(
        'NaN',
        '1e400',
        '-1',
        '0',
        '',
        '2027-06-01',
        '2027-06-01T00:00:00Z',
        '9999-12-31',
        'air-temp',
      ),
    )
    const names = [
      'quantity',
      'from',
      'to',
      'points',
      'date',
      'baseC',
      'upperC',
      'method',
      'limit',
      'state',
      'bed',
      'x',
    ]
    const paths = [
      'beds/long/series',
      'beds/long/days',
      'beds/long/sun',
      'warnings',
      'placements',
      'plantings',
      'nodes',
    ]
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...paths),
        fc.uniqueArray(fc.tuple(fc.constantFrom(...names), anything), {
          maxLength: 5,
          selector: ([name]) => name,
        }),
        async (path, query) => {
          const { status } = await api.ask('GET', `gardens/home/${path}?${new URLSearchParams(query)}`)
          expect([200, 400]).toContain(status)
        },
      ),
      { numRuns: 300 },
    )
  })

  it('no body makes it fail, whatever it holds', async () => {
    const addresses = [
      ['PUT', 'gardens/home'],
      ['PUT', 'gardens/home/beds/any'],
      ['PUT', 'gardens/home/nodes/any'],
      ['POST', 'gardens/home/placements'],
      ['POST', 'gardens/home/plantings'],
    ] as const
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...addresses),
        fc.object({ maxDepth: 2 }),
        async ([method, path], body) => {
          const { status } = await api.ask(method, path, JSON.parse(JSON.stringify(body)))
          expect(status).toBe(400)
        },
      ),
      { numRuns: 200 },
    )
  })
})

function put(payload: string, type = 'application/json') {
  return { method: 'PUT', url: '/api/v1/gardens/home', headers: { 'content-type': type }, payload } as const
}

describe('a failure inside the hub', () => {
  it.each([
    ['of the code', new Error('secret: hunter2'), 500, 'INTERNAL'],
    ['of the garden database', new GardenError('GARDEN_UNAVAILABLE', 'secret: hunter2'), 503, 'UNAVAILABLE'],
    ['of the store', new StoreError('STORE_FULL', 'secret: hunter2', true), 503, 'UNAVAILABLE'],
  ])('%s tells the client nothing of the inside', async (_name, failure, status, code) => {
    const api = await openApi((parts) => ({
      garden: new Proxy(parts.garden, {
        get: (garden, key) =>
          key === 'listGardens' ? () => Promise.reject(failure) : Reflect.get(garden, key),
      }),
    }))
    const answer = await api.ask('GET', 'gardens')
    await api.close()
    expect(answer).toMatchObject({ status, body: { code } })
    expect(JSON.stringify(answer.body)).not.toContain('hunter2')
    expect(answer.headers['retry-after']).toBe(status === 503 ? '5' : undefined)
  })
})

describe('over a real socket', () => {
  it('a request that is not HTTP is turned away and the next one served', async () => {
    const api = await openApi()
    const address = new URL(await api.app.listen({ host: '127.0.0.1', port: 0 }))
    const refused = await new Promise<string>((resolve, reject) => {
      const socket = connect(Number(address.port), '127.0.0.1', () =>
        socket.write('\x00\x01\x02 nonsense\r\n\r\n'),
      )
      let text = ''
      socket.on('data', (chunk) => {
        text += chunk.toString()
      })
      socket.on('close', () => resolve(text))
      socket.on('error', reject)
    })
    expect(refused).toContain('400')
    const status = await new Promise<number | undefined>((resolve, reject) => {
      httpRequest(new URL('/healthz', address), (response) => {
        response.resume()
        resolve(response.statusCode)
      })
        .on('error', reject)
        .end()
    })
    expect(status).toBe(200)
    expect((api.app.server.address() as AddressInfo).address).toBe('127.0.0.1')
    await api.close()
  })
})
