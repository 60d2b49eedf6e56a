/** A hub with closed doors on a folder of its own, a browser's worth of cookies, and a clock that can be moved. */
import type { IClientOptions } from 'mqtt'
import mqtt, { type MqttClient } from 'mqtt'
import pino from 'pino'
import { Config } from '../../hub/config.js'
import { type Hub, startHub } from '../../hub/main.js'
import { newDataDir } from '../hub/hub-fixture.js'

export const PASSPHRASE = 'quince barrow thimble'

export interface ClosedHub {
  readonly hub: Hub
  readonly dataDir: string
  /** everything that the hub has logged, at its most talkative */
  readonly logged: () => string
  /** the set-up code last shown on the console */
  readonly code: () => string
  readonly codesShown: () => number
  /** moves the hub's clock on, ms */
  pass(ms: number): void
  /** a browser that has not been here */
  browser(): Browser
  /** a browser whose user is the owner; sets the hub up at the first call */
  owner(): Promise<Browser>
  restart(): Promise<void>
  close(): Promise<void>
}

export async function closedHub(settings: Readonly<Record<string, unknown>> = {}): Promise<ClosedHub> {
  const folder = await newDataDir()
  let text = ''
  const log = pino(
    { level: 'trace' },
    {
      write(line: string) {
        text += line
      },
    },
  )
  let shiftMs = 0
  const codes: string[] = []
  const start = (): Promise<Hub> =>
    startHub(Config.parse({ dataDir: folder.dataDir, httpPort: 0, mqttPort: 0, ...settings }), {
      log,
      doors: 'closed',
      checkReplies: true,
      now: () => Date.now() + shiftMs,
      onSetUpCode: (code) => codes.push(code),
    })
  let hub = await start()
  const browser = (): Browser => new Browser(() => hub.httpUrl)
  return {
    get hub() {
      return hub
    },
    dataDir: folder.dataDir,
    logged: () => text,
    code: () => codes.at(-1) ?? '',
    codesShown: () => codes.length,
    pass(ms) {
      shiftMs += ms
    },
    browser,
    async owner() {
      const mine = browser()
      const answer = hub.isWithoutOwner
        ? await mine.ask('POST', 'access/set-up', { code: codes.at(-1), passphrase: PASSPHRASE })
        : await mine.ask('POST', 'access/sign-in', { passphrase: PASSPHRASE })
      if (answer.status !== 204) throw new Error(`no owner: ${JSON.stringify(answer.body)}`)
      return mine
    },
    async restart() {
      await hub.close()
      hub = await start()
    },
    async close() {
      await hub.close()
      await folder.remove()
    },
  }
}

export interface Answer {
  readonly status: number
  readonly headers: Headers
  // biome-ignore lint/suspicious/noExplicitAny: replies of many shapes, looked into by tests
  readonly body: any
}

export class Browser {
  cookie: string | null = null
  /** the attributes that the last cookie came with */
  setCookie = ''

  constructor(private readonly base: () => string) {}

  async ask(
    method: string,
    path: string,
    body?: unknown,
    headers: Readonly<Record<string, string>> = {},
  ): Promise<Answer> {
    const response = await fetch(
      path.startsWith('/') ? this.base() + path : `${this.base()}/api/v1/${path}`,
      {
        method,
        headers: {
          ...(this.cookie === null ? {} : { cookie: this.cookie }),
          ...(body === undefined ? {} : { 'content-type': 'application/json' }),
          ...headers,
        },
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      },
    )
    const given = response.headers.getSetCookie().at(-1)
    if (given !== undefined) {
      this.setCookie = given
      this.cookie = given.split(';')[0] ?? null
    }
    const text = await response.text()
    const isJson = (response.headers.get('content-type') ?? '').includes('json')
    return {
      status: response.status,
      headers: response.headers,
      body: isJson && text !== '' ? JSON.parse(text) : text,
    }
  }

  async status(method: string, path: string, body?: unknown): Promise<number> {
    return (await this.ask(method, path, body)).status
  }

  /** A live stream: resolves once it has begun, `ended` when the hub ends it. */
  async follow(garden = 'home'): Promise<{ status: number; ended: Promise<void>; stop(): void }> {
    const abort = new AbortController()
    const response = await fetch(`${this.base()}/api/v1/gardens/${garden}/live`, {
      signal: abort.signal,
      headers: this.cookie === null ? {} : { cookie: this.cookie },
    })
    const ended = (async () => {
      const reader = response.body!.getReader()
      while (!(await reader.read()).done);
    })()
    // a stop by the test itself is no failure
    ended.catch(() => {})
    return { status: response.status, ended, stop: () => abort.abort() }
  }
}

/** Connects as a node does; rejects when the hub turns it away. */
export async function connectNode(
  closed: ClosedHub,
  username: string | undefined,
  password: string | undefined,
  options: IClientOptions = {},
): Promise<MqttClient> {
  const client = mqtt.connect(closed.hub.mqttUrl, {
    reconnectPeriod: 0,
    ...(username === undefined ? {} : { username }),
    ...(password === undefined ? {} : { password }),
    ...options,
  })
  await new Promise<void>((resolve, reject) => {
    client.once('connect', () => resolve())
    client.once('error', reject)
    client.once('close', () => reject(new Error('closed before it was let in')))
  }).catch(async (error: unknown) => {
    await client.endAsync(true)
    throw error
  })
  return client
}

/** Makes a credential as the owner does and connects with it. */
export async function letNodeIn(closed: ClosedHub, owner: Browser, node: string, garden = 'home') {
  const { status, body } = await owner.ask('POST', `gardens/${garden}/nodes/${node}/credential`)
  if (status !== 201) throw new Error(`no credential: ${JSON.stringify(body)}`)
  const { username, password } = body as { username: string; password: string }
  return { username, password, client: await connectNode(closed, username, password, { clientId: node }) }
}

/** Resolves when the condition holds; fails after ten seconds. */
export async function until(holds: () => boolean | Promise<boolean>): Promise<void> {
  for (let tries = 0; tries < 1_000; tries++) {
    if (await holds()) return
    await new Promise((resolve) => setTimeout(resolve, 10))
  }
  throw new Error('it did not come to pass')
}
