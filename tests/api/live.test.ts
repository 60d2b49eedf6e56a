import { createConnection, type Socket } from 'node:net'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { LiveEvent } from '../../shared/api/warnings.js'
import { type ApiFixture, openApi } from './api-fixture.js'

/** A page that follows a garden, as far as the wire goes. */
interface Follower {
  readonly response: Response
  /** the next event; comments are skipped */
  next(): Promise<{ name: string; data: unknown }>
  /** the rest of the stream, once it has ended */
  ended(): Promise<void>
  leave(): void
}

async function follow(base: string, garden = 'home'): Promise<Follower> {
  const abort = new AbortController()
  const response = await fetch(`${base}/api/v1/gardens/${garden}/live`, { signal: abort.signal })
  const reader = response.body!.pipeThrough(new TextDecoderStream()).getReader()
  let buffer = ''
  const read = async (): Promise<boolean> => {
    const { done, value } = await reader.read()
    buffer += value ?? ''
    return !done
  }
  return {
    response,
    async next() {
      for (;;) {
        const end = buffer.indexOf('\n\n')
        if (end < 0) {
          if (!(await read())) throw new Error('the stream ended')
          continue
        }
        const block = buffer.slice(0, end)
        buffer = buffer.slice(end + 2)
        const name = /^event: (.*)$/m.exec(block)?.[1]
        const data = /^data: (.*)$/m.exec(block)?.[1]
        if (name !== undefined && data !== undefined) return { name, data: JSON.parse(data) }
      }
    },
    async ended() {
      while (await read());
    },
    leave: () => abort.abort(),
  }
}

const GARDEN_CHANGED = { type: 'garden' } as const

describe('live events', () => {
  let api: ApiFixture
  let base: string
  beforeEach(async () => {
    api = await openApi()
    base = await api.app.listen({ host: '127.0.0.1', port: 0 })
  })
  afterEach(() => api.close())

  const streams = async (): Promise<string | undefined> =>
    /hearting_live_streams (\d+)/.exec((await api.ask('GET', '/metrics')).body)?.[1]

  it('arrive under their type, in order, as described', async () => {
    const page = await follow(base)
    expect(page.response.status).toBe(200)
    expect(page.response.headers.get('content-type')).toContain('text/event-stream')
    expect(page.response.headers.get('content-security-policy')).toContain("default-src 'self'")
    const readings: LiveEvent = {
      type: 'readings',
      node: 'n1',
      bed: null,
      values: [{ quantity: 'air-temp', time: 1_813_000_000, value: 17.4, flags: 0 }],
    }
    api.deps.live.publish('home', readings)
    api.deps.live.publish('home', GARDEN_CHANGED)
    const [first, second] = [await page.next(), await page.next()]
    expect(first).toEqual({ name: 'readings', data: readings })
    expect(LiveEvent.parse(first.data)).toEqual(readings)
    expect(second).toEqual({ name: 'garden', data: GARDEN_CHANGED })
    page.leave()
  })

  it('are of the garden followed only', async () => {
    const page = await follow(base)
    api.deps.live.publish('elsewhere', GARDEN_CHANGED)
    api.deps.live.publish('home', { ...GARDEN_CHANGED })
    expect((await page.next()).name).toBe('garden')
    page.leave()
  })

  it('go to no more pages than allowed; a page that leaves makes room', async () => {
    const pages = [await follow(base), await follow(base)]
    const refused = await fetch(`${base}/api/v1/gardens/home/live`)
    expect(refused.status).toBe(503)
    expect(await refused.json()).toMatchObject({ code: 'TOO_MANY_STREAMS' })
    pages[0]!.leave()
    await vi.waitFor(async () => expect(await streams()).toBe('1'))
    const third = await follow(base)
    expect(third.response.status).toBe(200)
    third.leave()
    pages[1]!.leave()
  })

  it('end when the hub stops, without holding it up', async () => {
    const page = await follow(base)
    const closed = api.app.close()
    await page.ended()
    await closed
  })

  it('do not pile up for a page that has stopped reading', async () => {
    const socket: Socket = createConnection(Number(new URL(base).port), '127.0.0.1')
    await new Promise((resolve) => socket.once('connect', resolve))
    socket.write('GET /api/v1/gardens/home/live HTTP/1.1\r\nHost: localhost\r\n\r\n')
    await new Promise((resolve) => socket.once('data', resolve))
    socket.pause()
    const event: LiveEvent = {
      type: 'readings',
      node: 'n1',
      bed: null,
      values: Array.from({ length: 2_000 }, (_, i) => ({ quantity: `q${i}`, time: i, value: i, flags: 0 })),
    }
    await vi.waitFor(async () => {
      for (let i = 0; i < 20; i++) api.deps.live.publish('home', event)
      expect(await streams()).toBe('0')
    }, 20_000)
    socket.destroy()
  })

  it('refuse an id that is none', async () => {
    expect((await fetch(`${base}/api/v1/gardens/NO/live`)).status).toBe(400)
  })
})
