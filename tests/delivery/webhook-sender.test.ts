/** Posts against a real HTTP server on this machine. */
import { createHmac } from 'node:crypto'
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { afterEach, describe, expect, it } from 'vitest'
import { DeliveryError } from '../../hub/delivery/delivery-error.js'
import { createWebhookSender } from '../../hub/delivery/webhook-sender.js'

const NOW_MS = 1_800_000_000_500
const SECRET = 'a secret shared by two'
const closers: (() => void)[] = []
afterEach(() => {
  for (const close of closers.splice(0)) close()
})

interface Got {
  readonly headers: IncomingMessage['headers']
  readonly method: string
  readonly body: string
}

async function receiver(
  answer: (response: ServerResponse, path: string) => void,
): Promise<{ url: string; got: Got[] }> {
  const got: Got[] = []
  const server = createServer((request, response) => {
    let body = ''
    request.setEncoding('utf8')
    request.on('data', (chunk: string) => {
      body += chunk
    })
    request.on('end', () => {
      got.push({ headers: request.headers, method: request.method ?? '', body })
      answer(response, request.url ?? '')
    })
  })
  await new Promise<void>((resolve) => {
    server.listen(0, '127.0.0.1', resolve)
  })
  closers.push(() => {
    server.closeAllConnections()
    server.close()
  })
  return { url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/in`, got }
}

const post = (url: string, answerMs = 5_000, secret: string | null = SECRET): Promise<void> =>
  createWebhookSender({ now: () => NOW_MS, answerMs }).post({ url, secret, id: 'one', body: '{"ä":1}' })

async function failure(sent: Promise<void>): Promise<DeliveryError> {
  const error = await sent.then(
    () => null,
    (reason: unknown) => reason,
  )
  if (!(error instanceof DeliveryError)) throw new Error(`no DeliveryError: ${String(error)}`)
  return error
}

describe('a post', () => {
  it('carries its id, its time, and a signature that the receiver can work out', async () => {
    const { url, got } = await receiver((response) => response.writeHead(204).end())
    await post(url)
    const { headers, method, body } = got[0]!
    expect(method).toBe('POST')
    expect(headers['content-type']).toBe('application/json')
    expect(headers['hearting-delivery']).toBe('one')
    expect(headers['hearting-sent-at']).toBe('1800000000')
    const expected = createHmac('sha256', SECRET).update(`1800000000\none\n${body}`).digest('hex')
    expect(headers['hearting-hmac-sha256']).toBe(expected)
    expect(body).toBe('{"ä":1}')
  })

  it('is not signed where there is no secret', async () => {
    const { url, got } = await receiver((response) => response.writeHead(200).end('thank you'))
    await post(url, 5_000, null)
    expect(got[0]?.headers).not.toHaveProperty('hearting-hmac-sha256')
  })

  it.each([400, 401, 404, 410, 422])('that is refused with %i is not tried again', async (status) => {
    const { url } = await receiver((response) => response.writeHead(status).end())
    expect(await failure(post(url))).toMatchObject({ code: 'REFUSED', retryable: false })
  })

  it.each([408, 429, 500, 503])('that is answered with %i is tried again', async (status) => {
    const { url } = await receiver((response) => response.writeHead(status).end())
    expect(await failure(post(url))).toMatchObject({ code: 'REFUSED_FOR_NOW', retryable: true })
  })

  it('waits as long as the receiver asks, but no longer than an hour', async () => {
    const waited = async (header: string): Promise<number | null> => {
      const { url } = await receiver((response) => response.writeHead(503, { 'retry-after': header }).end())
      return (await failure(post(url))).retryAfterMs
    }
    expect(await waited('120')).toBe(120_000)
    expect(await waited(new Date(NOW_MS + 59_500).toUTCString())).toBe(59_500)
    expect(await waited('999999999')).toBe(3_600_000)
    expect(await waited('soon')).toBeNull()
  })

  it('follows no redirect: the address is the owner’s choice', async () => {
    const { url, got } = await receiver((response, path) =>
      path === '/in' ? response.writeHead(307, { location: '/elsewhere' }).end() : response.end(),
    )
    expect(await failure(post(url))).toMatchObject({ code: 'REFUSED' })
    expect(got).toHaveLength(1)
  })

  it('to a receiver that is down, or slow, or breaks off, fails in plain words', async () => {
    const down = await receiver(() => {})
    for (const close of closers.splice(0)) close()
    expect(await failure(post(down.url))).toMatchObject({ code: 'UNREACHABLE', retryable: true })

    const slow = await receiver(() => {})
    const late = await failure(post(slow.url, 150))
    expect(late).toMatchObject({ code: 'OUTCOME_UNKNOWN', retryable: true })
    expect(late.message).toContain('did not answer within 0.15 seconds')

    expect(await failure(post('http://127.0.0.1:9/'))).toMatchObject({
      code: 'UNREACHABLE',
      message: 'The receiver cannot be reached (bad port).',
    })

    const broken = await receiver((response) => response.socket?.destroy())
    expect(await failure(post(broken.url))).toMatchObject({ code: 'OUTCOME_UNKNOWN', retryable: true })
  })
})
