/** Read-only links and API tokens: what they open, what they do not, and that they end at once. */
import { execFile } from 'node:child_process'
import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import {
  type Browser,
  type ClosedHub,
  closedHub,
  connectNode,
  letNodeIn,
  PASSPHRASE,
  until,
} from './closed-hub.js'

const DAY_MS = 24 * 3_600_000
const HOME = { name: 'Plot', latitudeDeg: 55.7, longitudeDeg: 12.5, timeZone: 'Europe/Copenhagen' }
const run = promisify(execFile)
/** each call of the command line starts a process of its own, which a busy machine takes its time for */
const WITH_PROCESSES_MS = 120_000

let closed: ClosedHub
let owner: Browser
beforeEach(async () => {
  closed = await closedHub()
  owner = await closed.owner()
  await owner.ask('PUT', 'gardens/home', HOME)
})
afterEach(() => closed.close())

/** The command line on the hub's own machine, while the hub runs. */
const hearting = (...args: string[]): Promise<{ stdout: string; stderr: string }> =>
  run(process.execPath, ['--import', 'tsx', 'hub/cli/main.ts', ...args], {
    cwd: new URL('../..', import.meta.url),
    env: { PATH: process.env.PATH, HEARTING_DATA_DIR: closed.dataDir },
  })

describe('a read-only link', () => {
  const newLink = async (days = 30) => (await owner.ask('POST', 'access/links', { name: 'Ida', days })).body
  const byLink = async (secret: string): Promise<Browser> => {
    const helper = closed.browser()
    const { status, body } = await helper.ask('POST', 'access/look', { secret })
    if (status !== 204) throw new Error(JSON.stringify(body))
    return helper
  }

  it('shows the garden and lets nothing be changed', async () => {
    const helper = await byLink((await newLink()).secret)
    expect((await helper.ask('GET', 'access')).body.visitor).toBe('reader')
    expect(await helper.status('GET', 'gardens/home')).toBe(200)
    expect(await helper.status('GET', 'gardens/home/journal')).toBe(200)
    const changes: [string, string, unknown?][] = [
      ['PUT', 'gardens/home', HOME],
      ['PUT', 'gardens/home/beds/b', { name: 'b', kind: 'raised', lengthM: 1, widthM: 1 }],
      ['PUT', 'gardens/home/nodes/n', { name: 'n' }],
      ['DELETE', 'gardens/home/nodes/n'],
      ['POST', 'gardens/home/placements', {}],
      ['POST', 'gardens/home/warnings/x/seen'],
      ['POST', 'gardens/home/journal', { kind: 'note', on: '2027-06-15' }],
      ['PUT', 'gardens/home/journal/entry-001', { kind: 'note', on: '2027-06-15' }],
      ['DELETE', 'gardens/home/journal/entry-001'],
      ['PUT', 'gardens/home/journal/entry-001/photos/photo-001', {}],
      ['DELETE', 'gardens/home/journal/entry-001/photos/photo-001'],
    ]
    for (const [method, path, body] of changes) {
      const answer = await helper.ask(method, path, body)
      expect([path, answer.status, answer.body.code]).toEqual([path, 403, 'READ_ONLY'])
    }
    // nor is it told whom the hub writes to
    const mailTo = 'rowan@example.org'
    expect(await owner.status('PUT', 'gardens/home/delivery', { mailTo: [mailTo] })).toBe(200)
    const exported = 'gardens/home/export.json'
    expect(JSON.stringify((await owner.ask('GET', exported)).body)).toContain(mailTo)
    const seen = await helper.ask('GET', exported)
    expect([seen.status, seen.body.delivery]).toEqual([200, null])
    const secrets: [string, string, unknown?][] = [
      ['GET', 'gardens/home/delivery'],
      ['GET', 'access/sessions'],
      ['GET', 'access/links'],
      ['POST', 'access/links', { name: 'x', days: 1 }],
      ['PUT', 'access/passphrase', { passphrase: PASSPHRASE, newPassphrase: 'something else entirely' }],
      ['GET', 'gardens/home/node-credentials'],
      ['POST', 'gardens/home/nodes/n/credential'],
    ]
    for (const [method, path, body] of secrets) {
      const answer = await helper.ask(method, path, body)
      expect([path, answer.status, answer.body.code]).toEqual([path, 403, 'OWNER_ONLY'])
    }
  })

  it('ends with everybody who came by it when it is taken back, live lines at once', async () => {
    const link = await newLink()
    const helper = await byLink(link.secret)
    const line = await helper.follow()
    expect(line.status).toBe(200)
    expect(
      (await owner.ask('GET', 'access/sessions')).body.map((one: { link: string | null }) => one.link),
    ).toContain('Ida')
    expect(await owner.status('DELETE', `access/links/${link.id}`)).toBe(204)
    await line.ended
    expect(await helper.status('GET', 'gardens/home')).toBe(401)
    await expect(byLink(link.secret)).rejects.toThrow('WRONG_LINK')
    expect(await owner.status('DELETE', `access/links/${link.id}`)).toBe(404)
  })

  it('runs out on its day, with the sessions that came by it', async () => {
    const link = await newLink(2)
    const helper = await byLink(link.secret)
    closed.pass(2 * DAY_MS + 1_000)
    expect(await helper.status('GET', 'gardens/home')).toBe(401)
    await expect(byLink(link.secret)).rejects.toThrow('WRONG_LINK')
    await until(async () => (await (await closed.owner()).ask('GET', 'access/links')).body.length === 0)
  })

  it('leaves the owner who tries it the owner', async () => {
    const link = await newLink()
    expect(await owner.status('POST', 'access/look', { secret: link.secret })).toBe(204)
    expect((await owner.ask('GET', 'access')).body.visitor).toBe('owner')
  })
})

describe('an API token', { timeout: WITH_PROCESSES_MS }, () => {
  it('is made on the hub’s machine while it runs, reads, and is over within a second when taken back', async () => {
    const { token } = JSON.parse((await hearting('token', 'add', 'charts', '--json')).stdout)
    const script = closed.browser()
    const headers = { authorization: `Bearer ${token}` }
    const status = async (method: string, path: string, body?: unknown) =>
      (await script.ask(method, path, body, headers)).status
    await until(async () => (await status('GET', 'gardens/home')) === 200)
    expect(await status('GET', '/metrics')).toBe(200)
    const basic = `Basic ${Buffer.from(`calendar:${token}`).toString('base64')}`
    expect((await script.ask('GET', 'gardens', undefined, { authorization: basic })).status).toBe(200)
    expect(await status('PUT', 'gardens/home', HOME)).toBe(403)
    expect(await status('GET', 'access/sessions')).toBe(403)
    expect((await hearting('token', 'list')).stdout).toMatch(/charts +read/)
    expect((await hearting('token', 'list')).stdout).not.toContain(token)
    await hearting('token', 'revoke', 'charts')
    await until(async () => (await status('GET', 'gardens/home')) === 401)
    await expect(hearting('token', 'revoke', 'charts')).rejects.toThrow('There is no token')
  })

  it('of the scope write changes the garden and publishes for any node, but makes no secrets', async () => {
    const { token } = JSON.parse(
      (await hearting('token', 'add', 'import', '--scope', 'write', '--json')).stdout,
    )
    const script = closed.browser()
    const headers = { authorization: `Bearer ${token}` }
    await until(async () => (await script.ask('PUT', 'gardens/home', HOME, headers)).status === 200)
    expect((await script.ask('POST', 'gardens/home/nodes/n/credential', undefined, headers)).status).toBe(403)
    const client = await connectNode(closed, 'Bearer', token)
    await client.publishAsync(
      'gardens/home/nodes/old/readings',
      JSON.stringify([{ n: 'air-temp', v: 3, u: 'Cel' }]),
      { qos: 1 },
    )
    expect((await owner.ask('GET', 'gardens/home/nodes/old')).body.latest).toHaveLength(1)
    const isCut = new Promise<void>((resolve) => client.once('close', () => resolve()))
    await hearting('token', 'revoke', 'import')
    await isCut
  })

  it('lets a record of the past be brought in; without one the replay says what is missing', async () => {
    const file = join(closed.dataDir, 'past.csv')
    await writeFile(file, 'time,air_temp_c\n2026-05-06T12:00:00Z,17.5\n2026-05-06T12:01:00Z,17.6\n')
    const replay = (token: string | null) =>
      run(
        process.execPath,
        [
          ...['--import', 'tsx', 'hub/cli/main.ts', 'replay', file, '--node', 'old', '--json'],
          ...['--port', String(closed.hub.mqttPort), '--http', closed.hub.httpUrl],
        ],
        {
          cwd: new URL('../..', import.meta.url),
          env: { PATH: process.env.PATH, ...(token === null ? {} : { HEARTING_TOKEN: token }) },
        },
      )
    await expect(replay(null)).rejects.toThrow('hearting token add')
    const { token } = JSON.parse(
      (await hearting('token', 'add', 'past', '--scope', 'write', '--json')).stdout,
    )
    await until(
      async () =>
        (await closed.browser().ask('GET', 'gardens', undefined, { authorization: `Bearer ${token}` }))
          .status === 200,
    )
    const report = JSON.parse((await replay(token)).stdout)
    expect(report).toMatchObject({ acknowledgedReadings: 2, hub: { storedReadings: 2, refusedPacks: 0 } })
  })

  it.each(['Bearer', 'Bearer ', 'Basic abc', `Bearer ${'x'.repeat(500)}`, 'Bearer x y'])(
    'refuses the header %j, also beside a good cookie',
    async (authorization) => {
      expect((await owner.ask('GET', 'gardens', undefined, { authorization })).status).toBe(401)
    },
  )
})

describe('the command line beside a running hub', { timeout: WITH_PROCESSES_MS }, () => {
  it('lets nodes in and throws them out', async () => {
    const { username, password } = JSON.parse((await hearting('node', 'add', 'wren', '--json')).stdout)
    await until(() =>
      connectNode(closed, username, password).then(
        (client) => client.endAsync(true).then(() => true),
        () => false,
      ),
    )
    await expect(hearting('node', 'add', 'wren')).rejects.toThrow('--replace')
    expect((await hearting('node', 'list')).stdout).toMatch(/home +wren/)
    const client = await connectNode(closed, username, password)
    const isCut = new Promise<void>((resolve) => client.once('close', () => resolve()))
    await hearting('node', 'revoke', 'wren')
    await isCut
    await expect(hearting('node', 'revoke', 'wren')).rejects.toThrow('has no password')
  })

  it('forgets the owner: everybody is out, a new code is shown, nodes go on', async () => {
    const robin = await letNodeIn(closed, owner, 'robin')
    const shown = closed.codesShown()
    await expect(hearting('owner', 'reset')).rejects.toThrow('--yes')
    await hearting('owner', 'reset', '--yes')
    await until(async () => (await owner.ask('GET', 'access')).body.door === 'set-up')
    await until(() => closed.codesShown() > shown)
    expect(await owner.status('GET', 'gardens')).toBe(401)
    expect(robin.client.connected).toBe(true)
    const next = closed.browser()
    expect(
      await next.status('POST', 'access/set-up', {
        code: closed.code(),
        passphrase: 'a new start this year',
      }),
    ).toBe(204)
    expect((await next.ask('GET', 'gardens')).body).toHaveLength(1)
    await robin.client.endAsync(true)
  })

  it('says where there is no hub', async () => {
    const nowhere = { ...process.env, HEARTING_DATA_DIR: `${closed.dataDir}/nowhere` }
    const asked = run(process.execPath, ['--import', 'tsx', 'hub/cli/main.ts', 'node', 'list'], {
      cwd: new URL('../..', import.meta.url),
      env: nowhere,
    })
    await expect(asked).rejects.toThrow('start the hub once')
  })
})
