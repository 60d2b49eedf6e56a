import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { brotliCompressSync, gunzipSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { StoreError } from '../../hub/store/port.js'
import { type ApiFixture, openApi } from './api-fixture.js'

describe('running the hub', () => {
  it('is alive and ready when everything answers', async () => {
    const api = await openApi()
    expect(await api.ask('GET', '/healthz')).toMatchObject({ status: 200, body: { status: 'alive' } })
    expect(await api.ask('GET', '/readyz')).toMatchObject({
      status: 200,
      body: { status: 'ready', parts: { store: true, garden: true, broker: true } },
    })
    await api.close()
  })

  it('is alive but not ready while the store does not answer, and says which part', async () => {
    const down = new StoreError('STORE_UNAVAILABLE', 'disk gone', true)
    const api = await openApi(({ store, ingest }) => ({
      store: { ...store, listSeries: () => Promise.reject(down) },
      ingest: { ...ingest, isListening: () => false },
    }))
    expect((await api.ask('GET', '/healthz')).status).toBe(200)
    expect(await api.ask('GET', '/readyz')).toMatchObject({
      status: 503,
      body: { status: 'not ready', parts: { store: false, garden: true, broker: false } },
    })
    await api.close()
  })

  it('counts in OpenMetrics text', async () => {
    const api = await openApi()
    const { metrics } = api.deps
    metrics.committed(0.012, { stored: 40, repeated: 2 })
    metrics.watchRefusals(() => ({ 'not-json': 1 }))
    metrics.watchQueueDepth(() => 7)
    await api.ask('GET', 'gardens')
    const { type, body } = await api.ask('GET', '/metrics')
    expect(type).toContain('application/openmetrics-text')
    expect(body).toMatch(/^hearting_readings_stored_total 40$/m)
    expect(body).toMatch(/^hearting_readings_repeated_total 2$/m)
    expect(body).toMatch(/^hearting_packs_refused_total\{reason="not-json"\} 1$/m)
    expect(body).toMatch(/^hearting_commit_seconds_bucket\{le="0.025"\} 1/m)
    expect(body).toMatch(/^hearting_queue_depth 7$/m)
    expect(body).toMatch(
      /^hearting_http_request_seconds_count\{route="\/api\/v1\/gardens",status="200"\} 1$/m,
    )
    expect(body).toMatch(/eventloop_lag/)
    expect(body.endsWith('# EOF\n')).toBe(true)
    await api.close()
  })

  it('sends long answers compressed to who understands it, short ones as they are', async () => {
    const api = await openApi()
    const crops = (headers: Record<string, string>) => api.app.inject({ url: '/api/v1/crops', headers })
    const plain = await crops({})
    expect(plain.headers).not.toHaveProperty('content-encoding')
    const packed = await crops({ 'accept-encoding': 'gzip' })
    expect(packed.headers['content-encoding']).toBe('gzip')
    expect(packed.headers.vary).toContain('accept-encoding')
    expect(packed.rawPayload.length).toBeLessThan(plain.rawPayload.length / 3)
    expect(JSON.parse(gunzipSync(packed.rawPayload).toString())).toEqual(plain.json())
    const short = await api.app.inject({ url: '/api/v1/gardens', headers: { 'accept-encoding': 'gzip, br' } })
    expect(short.headers).not.toHaveProperty('content-encoding')
    await api.close()
  })

  it('keeps figures out of caches and the page out of frames', async () => {
    const api = await openApi()
    const { headers } = await api.ask('GET', 'gardens')
    expect(headers['cache-control']).toBe('no-store')
    expect(headers['x-content-type-options']).toBe('nosniff')
    const policy = String(headers['content-security-policy'])
    expect(policy).toContain("frame-ancestors 'none'")
    expect(policy).not.toContain('unsafe')
    // would send a browser on the local network to an https that is not there
    expect(policy).not.toContain('upgrade-insecure-requests')
    expect(headers).not.toHaveProperty('strict-transport-security')
    await api.close()
  })
})

describe('the page', () => {
  let folder: string
  let api: ApiFixture
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'hearting-page-'))
    await mkdir(join(folder, 'assets'))
    await writeFile(join(folder, 'index.html'), '<!doctype html><title>page</title>')
    await writeFile(join(folder, 'assets', 'main-a1b2c3.js'), 'export {}')
    await writeFile(join(folder, 'assets', 'main-a1b2c3.js.br'), brotliCompressSync('export {}'))
    await writeFile(join(folder, 'sw.js'), 'self.skipWaiting()')
    await writeFile(join(folder, 'secret.txt'), 'not for you')
    api = await openApi(() => ({ pageDir: folder }))
  })
  afterAll(async () => {
    await api.close()
    await rm(folder, { recursive: true, force: true })
  })

  it.each(['/', '/beds/long', '/journal', '/plan/space', '/nodes', '/garden'])(
    'is at %s, asked for anew each time',
    async (path) => {
      const { status, type, body, headers } = await api.ask('GET', path)
      expect(status).toBe(200)
      expect(type).toContain('text/html')
      expect(body).toContain('<title>page</title>')
      expect(headers['cache-control']).toBe('no-cache')
    },
  )

  it('has its worker at the root, asked for anew each time, and lets no other in', async () => {
    const { status, type, headers } = await api.ask('GET', '/sw.js')
    expect(status).toBe(200)
    expect(type).toContain('javascript')
    expect(headers['cache-control']).toBe('no-cache')
    expect(headers['content-security-policy']).toContain("worker-src 'self'")
  })

  it('has its parts cached for good', async () => {
    const { status, type, headers } = await api.ask('GET', '/assets/main-a1b2c3.js')
    expect(status).toBe(200)
    expect(type).toContain('javascript')
    expect(headers['cache-control']).toBe('public, max-age=31536000, immutable')
  })

  it('has its parts sent as they lie compressed', async () => {
    const response = await api.app.inject({
      url: '/assets/main-a1b2c3.js',
      headers: { 'accept-encoding': 'br, gzip' },
    })
    expect(response.headers['content-encoding']).toBe('br')
    expect(response.headers['content-type']).toContain('javascript')
    expect(response.rawPayload).toEqual(brotliCompressSync('export {}'))
  })

  it.each([
    '/elsewhere',
    '/beds',
    '/assets/gone.js',
    '/secret.txt',
    '/assets/../secret.txt',
    '/assets/%2e%2e/secret.txt',
    '/assets/..%2fsecret.txt',
    '/assets/',
    '/index.html',
  ])('is not at %s', async (path) => {
    const { status, body } = await api.ask('GET', path)
    expect(status).toBe(404)
    expect(JSON.stringify(body)).not.toContain('not for you')
    expect(body).toMatchObject({ code: 'NOT_FOUND' })
  })

  it('says how to build it where it was not', async () => {
    const bare = await openApi()
    const { status, body } = await bare.ask('GET', '/')
    await bare.close()
    expect(status).toBe(503)
    expect(body).toContain('npm run build')
  })
})
