/** Attacks on the page and the API of a closed hub, each tried and refused. */
import { createHmac } from 'node:crypto'
import { mkdtempSync, writeFileSync } from 'node:fs'
import { rm } from 'node:fs/promises'
import { createServer } from 'node:http'
import { request as httpsRequest } from 'node:https'
import { type AddressInfo, connect, type Socket } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { connectAsync } from 'mqtt'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { limitSockets, MOST_PER_ADDRESS } from '../../hub/api/socket-limits.js'
import { Config } from '../../hub/config.js'
import { startHub } from '../../hub/main.js'
import type { NewNodeCredential } from '../../shared/api/access.js'
import { newDataDir, silent } from '../hub/hub-fixture.js'
import { hasOpenssl, makeCertificates } from '../support/test-certificates.js'
import { type Browser, type ClosedHub, closedHub, PASSPHRASE, until } from './closed-hub.js'

const HOME = { name: 'Plot', latitudeDeg: 55.7, longitudeDeg: 12.5, timeZone: 'Europe/Copenhagen' }

describe('against a closed hub', () => {
  let closed: ClosedHub
  let owner: Browser
  beforeAll(async () => {
    closed = await closedHub({ maxLiveStreams: 40 })
    owner = await closed.owner()
    await owner.ask('PUT', 'gardens/home', HOME)
  })
  afterAll(() => closed.close())

  const port = (): number => Number(new URL(closed.hub.httpUrl).port)
  /** Sends bytes as they are; resolves with what came back when the hub ends the connection. */
  const raw = async (...chunks: string[]): Promise<string> => {
    const socket: Socket = connect(port(), '127.0.0.1')
    let answer = ''
    socket.on('data', (data) => {
      answer += String(data)
    })
    socket.on('error', () => {})
    for (const chunk of chunks) socket.write(chunk)
    await new Promise<void>((resolve) => socket.on('close', () => resolve()))
    return answer
  }

  it('a forged cookie opens nothing: another key, another value, no signature, another session’s', async () => {
    const [name = '', good = ''] = (owner.cookie ?? '').split('=')
    const [value = '', signature = ''] = decodeURIComponent(good).split('.')
    const sign = (text: string, key: string): string =>
      `${text}.${createHmac('sha256', key).update(text).digest('base64').replace(/=+$/, '')}`
    for (const forged of [
      value,
      `${value}.`,
      `${value}.${signature.slice(0, -2)}AA`,
      sign(value, 'guessed'),
      sign('x'.repeat(32), 'guessed'),
      `${'x'.repeat(32)}.${signature}`,
      '',
      'null',
      '%',
      '[object Object]',
    ]) {
      const thief = closed.browser()
      thief.cookie = `${name}=${forged}`
      expect(await thief.status('GET', 'gardens'), forged).toBe(401)
    }
    expect(await owner.status('GET', 'gardens')).toBe(200)
  })

  it('a page of another site changes nothing, in whatever way it asks', async () => {
    const forged: Record<string, string>[] = [
      { origin: 'https://evil.example' },
      { origin: 'null' },
      { 'sec-fetch-site': 'cross-site' },
      { 'sec-fetch-site': 'same-site' },
    ]
    for (const headers of forged) {
      const answer = await owner.ask('PUT', 'gardens/home', HOME, headers)
      expect([answer.status, answer.body.code]).toEqual([403, 'FOREIGN_ORIGIN'])
      expect((await owner.ask('POST', 'access/sign-out', undefined, headers)).status).toBe(403)
    }
    // what a form can send without asking first
    for (const type of [
      'text/plain',
      'application/x-www-form-urlencoded',
      'multipart/form-data; boundary=x',
    ]) {
      const answer = await fetch(`${closed.hub.httpUrl}/api/v1/gardens/home`, {
        method: 'PUT',
        headers: { 'content-type': type, cookie: owner.cookie ?? '' },
        body: JSON.stringify(HOME),
      })
      expect(answer.status).toBe(415)
    }
    const { headers } = await owner.ask('GET', 'gardens', undefined, { origin: 'https://evil.example' })
    expect(headers.get('access-control-allow-origin')).toBeNull()
  })

  it('a path that climbs out of the page’s folder leads nowhere', async () => {
    for (const path of [
      '/assets/../../../../etc/passwd',
      '/assets/..%2f..%2f..%2fpackage.json',
      '/assets/%2e%2e/%2e%2e/package.json',
      '/assets/..%5c..%5cpackage.json',
      '/assets/....//....//package.json',
      '/assets/%00',
      '//etc/passwd',
      '/assets/.git/config',
      '/beds/../../garden.sqlite',
    ]) {
      const answer = await raw(`GET ${path} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n`)
      expect(answer, path).not.toMatch(/root:|"dependencies"|SQLite format/)
      expect(answer.split(' ')[1], path).toMatch(/^(400|403|404|503)$/)
    }
  })

  it('HTML in a name comes back as JSON that no browser runs', async () => {
    const name = '<img src=x onerror=alert(1)></script>'
    expect(await owner.status('PUT', 'gardens/home/nodes/n1', { name })).toBe(201)
    const { headers, body } = await owner.ask('GET', 'gardens/home/nodes/n1')
    expect(body.name).toBe(name)
    expect(headers.get('content-type')).toContain('application/json')
    expect(headers.get('x-content-type-options')).toBe('nosniff')
    const missing = await owner.ask('GET', '/<script>alert(1)</script>')
    expect(missing.headers.get('content-type')).toContain('application/problem+json')
  })

  it('every reply, good or bad, carries the headers that keep other pages away', async () => {
    for (const path of ['/', 'gardens', 'access', 'nowhere', '/healthz']) {
      for (const browser of [owner, closed.browser()]) {
        const { headers } = await browser.ask('GET', path)
        const csp = headers.get('content-security-policy') ?? ''
        expect(csp).toContain("default-src 'self'")
        expect(csp).toContain("frame-ancestors 'none'")
        expect(csp).not.toContain('unsafe')
        expect(headers.get('x-frame-options')).toBe('DENY')
        expect(headers.get('referrer-policy')).toBe('no-referrer')
        expect(headers.get('cross-origin-resource-policy')).toBe('same-origin')
        expect(headers.get('x-powered-by')).toBeNull()
      }
    }
    expect((await owner.ask('GET', 'gardens')).headers.get('cache-control')).toBe('no-store')
    expect((await closed.browser().ask('GET', 'access')).headers.get('cache-control')).toBe('no-store')
  })

  it('a request that is too large is refused before it is read', async () => {
    const large = await owner.ask('PUT', 'gardens/home', { name: 'x'.repeat(70_000) })
    expect([large.status, large.body.code]).toEqual([413, 'BODY_TOO_LARGE'])
    const announced = await raw(
      `PUT /api/v1/gardens/home HTTP/1.1\r\nHost: localhost\r\nCookie: ${owner.cookie}\r\nContent-Type: application/json\r\nContent-Length: 99999999999\r\n\r\n`,
    )
    expect(announced).toMatch(/^HTTP\/1.1 413/)
    const headers = await raw(`GET / HTTP/1.1\r\nHost: localhost\r\nX: ${'x'.repeat(40_000)}\r\n\r\n`)
    expect(headers).toMatch(/^HTTP\/1.1 431/)
    const address = await raw(
      `GET /api/v1/${'x'.repeat(10_000)} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n`,
    )
    expect(address).toMatch(/^HTTP\/1.1 4/)
  })

  it('a stranger’s body is not even read', async () => {
    const { status } = await closed.browser().ask('PUT', 'gardens/home', { name: 'x'.repeat(70_000) })
    expect(status).toBe(401)
  })

  it('a request that comes in drop by drop is cut off', async () => {
    const socket = connect(port(), '127.0.0.1')
    socket.on('error', () => {})
    socket.write('GET /healthz HTTP/1.1\r\nHost: localhost\r\n')
    const drops = setInterval(() => socket.write('X: x\r\n'), 500)
    const startedMs = performance.now()
    await new Promise<void>((resolve) => {
      socket.on('close', () => resolve())
      socket.resume()
    })
    clearInterval(drops)
    expect(performance.now() - startedMs).toBeLessThan(25_000)
  })

  it('one visitor cannot take all live streams, and a stream ends with its session', async () => {
    const thief = closed.browser()
    await thief.ask('POST', 'access/sign-in', { passphrase: PASSPHRASE })
    const streams = await Promise.all(Array.from({ length: 20 }, () => thief.follow()))
    const open = streams.filter(({ status }) => status === 200)
    expect(open).toHaveLength(12)
    expect(streams.filter(({ status }) => status === 503)).toHaveLength(8)
    const mine = await owner.follow()
    expect(mine.status).toBe(200)
    await thief.ask('POST', 'access/sign-out')
    await Promise.all(open.map(({ ended }) => ended))
    mine.stop()
  })

  it('a link handed round shares one visitor’s streams, however many sessions it makes', async () => {
    const { body: link } = await owner.ask('POST', 'access/links', { name: 'everybody', days: 1 })
    const helpers = [closed.browser(), closed.browser(), closed.browser()]
    for (const helper of helpers) await helper.ask('POST', 'access/look', { secret: link.secret })
    const streams = await Promise.all(
      helpers.flatMap((helper) => Array.from({ length: 6 }, () => helper.follow())),
    )
    expect(streams.filter(({ status }) => status === 200)).toHaveLength(12)
    await owner.ask('DELETE', `access/links/${link.id}`)
    await Promise.all(streams.map(({ ended }) => ended))
  })

  it('guessing links is slowed down like guessing the passphrase', async () => {
    const statuses = []
    for (let i = 0; i < 8; i++) {
      statuses.push(await closed.browser().status('POST', 'access/look', { secret: 'x'.repeat(32) }))
    }
    expect(statuses).toContain(403)
    expect(statuses.at(-1)).toBe(429)
    closed.pass(3_600_000)
  })

  it('a passphrase that is a novel is not hashed', async () => {
    expect(await closed.browser().status('POST', 'access/sign-in', { passphrase: 'x'.repeat(60_000) })).toBe(
      400,
    )
  })

  it('two hundred sockets that send nothing leave room for others', async () => {
    const sockets = Array.from({ length: 200 }, () => connect(port(), '127.0.0.1'))
    for (const socket of sockets) socket.on('error', () => {})
    await until(async () => (await owner.status('GET', 'gardens')) === 200)
    for (const socket of sockets) socket.destroy()
  })
})

it('one address cannot take all sockets', async () => {
  const server = createServer()
  limitSockets(server, () => false)
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const { port } = server.address() as AddressInfo
  const sockets = Array.from({ length: MOST_PER_ADDRESS + 20 }, () => connect(port, '127.0.0.1'))
  let ended = 0
  for (const socket of sockets) {
    socket.on('error', () => {})
    socket.on('close', () => ended++)
    socket.resume()
  }
  await until(() => ended === 20)
  for (const socket of sockets) socket.destroy()
  server.close()
})

it('a hub with open doors listens on loopback only', async () => {
  const folder = await newDataDir()
  for (const part of ['httpHost', 'mqttHost']) {
    const config = Config.parse({ dataDir: folder.dataDir, httpPort: 0, mqttPort: 0, [part]: '0.0.0.0' })
    await expect(startHub(config, { log: silent, doors: 'open' })).rejects.toThrow('loopback only')
  }
  await folder.remove()
})

describe.skipIf(!hasOpenssl)('over TLS (needs the program openssl)', () => {
  const dir = mkdtempSync(join(tmpdir(), 'hearting-tls-'))
  const files = { cert: join(dir, 'cert.pem'), key: join(dir, 'key.pem') }
  let ca = ''
  let closed: ClosedHub
  beforeAll(async () => {
    const made = await makeCertificates()
    ca = made.ca
    writeFileSync(files.cert, made.cert)
    writeFileSync(files.key, made.key)
    closed = await closedHub({
      httpTlsCertFile: files.cert,
      httpTlsKeyFile: files.key,
      mqttTlsCertFile: files.cert,
      mqttTlsKeyFile: files.key,
    })
  })
  afterAll(async () => {
    await closed.close()
    await rm(dir, { recursive: true })
  })

  it('signs in with a cookie that never travels in the clear, and takes readings', async () => {
    expect(closed.hub.httpUrl).toMatch(/^https:/)
    interface Reply {
      readonly status: number
      readonly headers: NodeJS.Dict<string | string[]>
      readonly text: string
    }
    const post = (path: string, body: object, cookie = ''): Promise<Reply> =>
      new Promise((resolve, reject) => {
        const request = httpsRequest(
          `${closed.hub.httpUrl}/api/v1/${path}`,
          { ca, method: 'POST', headers: { 'content-type': 'application/json', cookie } },
          (response) => {
            let text = ''
            response.on('data', (data) => {
              text += String(data)
            })
            response.on('end', () =>
              resolve({ status: response.statusCode ?? 0, headers: response.headers, text }),
            )
          },
        )
        request.on('error', reject)
        request.end(JSON.stringify(body))
      })
    const { status, headers } = await post('access/set-up', { code: closed.code(), passphrase: PASSPHRASE })
    expect(status).toBe(204)
    const cookie = String(headers['set-cookie'])
    expect(cookie).toMatch(/; Secure/)
    expect(headers['strict-transport-security']).toMatch(/max-age=\d+/)
    const made = await post('gardens/home/nodes/wren/credential', {}, cookie.split(';')[0])
    const { username, password, isTls } = JSON.parse(made.text) as NewNodeCredential
    expect(isTls).toBe(true)
    const node = await connectAsync(closed.hub.mqttUrl, { ca, username, password, reconnectPeriod: 0 }, false)
    await node.publishAsync('gardens/home/nodes/wren/readings', '[{"n":"air-temp","v":1}]', { qos: 1 })
    await node.endAsync()
    await expect(connectAsync(closed.hub.mqttUrl, { ca, reconnectPeriod: 0 }, false)).rejects.toThrow(
      /not authori/i,
    )
    // who does not know the authority, or speaks in the clear, is not spoken to
    await expect(
      connectAsync(closed.hub.mqttUrl, { username, password, reconnectPeriod: 0 }, false),
    ).rejects.toThrow()
    const plain = closed.hub.mqttUrl.replace('mqtts', 'mqtt')
    await expect(connectAsync(plain, { username, password, reconnectPeriod: 0 }, false)).rejects.toThrow()
    await expect(fetch(closed.hub.httpUrl.replace('https', 'http'))).rejects.toThrow()
  })

  it('needs both files, and files that belong together', async () => {
    const start = (settings: object): Promise<unknown> =>
      startHub(Config.parse({ dataDir: dir, httpPort: 0, mqttPort: 0, ...settings }), {
        log: silent,
        doors: 'closed',
      })
    await expect(start({ httpTlsCertFile: files.cert })).rejects.toThrow('HEARTING_HTTP_TLS_KEY_FILE')
    await expect(start({ mqttTlsCertFile: files.cert, mqttTlsKeyFile: files.cert })).rejects.toThrow('PEM')
    await expect(start({ mqttTlsCertFile: '/nowhere', mqttTlsKeyFile: files.key })).rejects.toThrow(
      'cannot be read',
    )
  })
})
